package screen

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// knobsOf lists the policy values that belong to a part of the sheet.
var knobsOf = map[plan.Part][]string{
	plan.PartNail: {"burial_mm", "ream_over_mm", "ream_first_mm", "ream_cut_mm"},
	plan.PartHead: {"head_clearance_mm", "neck_upper_mm", "neck_lower_mm", "neck_side_mm", "tip_far_mm", "upper_shorter_mm"},
}

// policyRows lets a case differ from the usual policy, each value with its
// range and source.
func (p *Page) policyRows(v *view, c record.Case, part plan.Part) []app.UI {
	policy, _ := plan.PolicyFrom(c.Settings)
	var rows []app.UI
	for _, k := range plan.Knobs() {
		for _, key := range knobsOf[part] {
			if k.Key == key {
				rows = append(rows, v.row(p, p.knobRow(k, policy)))
			}
		}
	}
	open := "policy-" + string(part)
	kids := []app.UI{app.Button().Type("button").DataSet("do", "why|"+open).Text("Policy of this case")}
	if p.opened[open] {
		kids = append(kids, rows...)
	}
	return []app.UI{app.Div().Class("why").Body(kids...)}
}

func (p *Page) knobRow(k plan.Knob, policy plan.Policy) *row {
	citation, seen := text.Source(k.Source)
	r := &row{key: "knob-" + k.Key, label: text.Knob(k.Key), unit: k.Unit, lo: k.Lo, hi: k.Hi, step: 1,
		note: "usual " + units.Trim(k.Default, 2) + "; " + strings.TrimSuffix(citation, ".") + " (" + seen + ")",
		get:  func() string { return plain(k.Value(policy)) }}
	if k.Hi-k.Lo <= 3 {
		r.step = 0.5
	}
	r.set = func(s string) error {
		value := k.Default
		if s != "" {
			f, err := units.ParseNumber(s, k.Lo, k.Hi, k.Unit)
			if err != nil {
				return err
			}
			value = f
		}
		return p.edit(r.label, func(c *record.Case) error { setKnob(c, k, value); return nil })
	}
	return r
}

// setKnob keeps only values that differ from the usual.
func setKnob(c *record.Case, k plan.Knob, value float64) {
	var kept []record.Setting
	for _, s := range c.Settings {
		if s.Key != k.Key {
			kept = append(kept, s)
		}
	}
	if value != k.Default {
		kept = append(kept, record.Setting{Key: k.Key, Value: value})
	}
	c.Settings = kept
}
