package screen

import (
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// knobsOf lists the policy values that belong to a part of the sheet.
var knobsOf = map[plan.Part][]string{
	plan.PartInjury: {"adult_years", "near_lesser_mm", "subtroch_mm", "below_isthmus_mm"},
	plan.PartBone:   {"side_difference_mm", "film_tilt_deg", "rod_reading_mm", "skin_reading_mm", "views_percent"},
	plan.PartNail: {"burial_mm", "ream_over_mm", "ream_step_mm", "ream_first_mm", "ream_cut_mm", "canal_amber_mm", "canal_red_mm",
		"fit_amber", "sure_enough", "bow_mismatch_mm", "short_stature_mm"},
	plan.PartHead: {"head_clearance_mm", "neck_upper_mm", "neck_lower_mm", "neck_side_mm", "tip_far_mm", "upper_shorter_mm",
		"gauge_reading_mm", "tip_apex_amber_mm", "tip_apex_red_mm"},
	plan.PartDistal: {"distal_screws", "distal_below_isthmus", "hole_distance_mm", "distal_over_mm", "distal_past_mm", "gauge_reading_mm"},
	plan.PartAfter: {"turn_reading_deg", "turn_normal_deg", "turn_limit_deg", "turn_correct_deg", "varus_deg", "length_discuss_mm",
		"length_correct_mm", "gap_limit_mm", "united_rust", "united_mrust", "window_from_days", "window_to_days"},
}

// policyRows lets a case differ from the usual policy, each value with its
// range and source.
func (p *Page) policyRows(v *view, c record.Case, part plan.Part) []app.UI {
	policy, _ := plan.PolicyFrom(c.Settings)
	var rows []app.UI
	for _, k := range plan.Knobs() {
		if slices.Contains(knobsOf[part], k.Key) {
			rows = append(rows, v.row(p, p.knobRow(k, policy)))
		}
	}
	open := "policy-" + string(part)
	kids := []app.UI{app.Button().Type("button").Aria("expanded", strconv.FormatBool(p.opened[open])).DataSet("do", "why|"+open).Text("Policy of this case")}
	if p.opened[open] {
		kids = append(kids, rows...)
	}
	return []app.UI{app.Div().Class("why").Body(kids...)}
}

func (p *Page) knobRow(k plan.Knob, policy plan.Policy) *row {
	citation, seen := text.Source(k.Source)
	r := &row{key: "knob-" + k.Key, label: text.Knob(k.Key), unit: k.Unit, lo: k.Lo, hi: k.Hi, step: 1, whole: counted(k),
		note: "usual " + units.Trim(k.Default, 2) + "; " + strings.TrimSuffix(citation, ".") + " (" + seen + ")",
		get:  func() string { return plain(k.Value(policy)) }}
	switch {
	case r.whole:
	case k.Hi-k.Lo < 1:
		r.step = 0.05
	case k.Hi-k.Lo <= 3:
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

// counted reports whether a value is a number of things, of years or of days:
// never half a one.
func counted(k plan.Knob) bool {
	return k.Unit == "years" || k.Unit == "days" || k.Unit == "" && k.Lo >= 1
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
