package screen

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// codeRows pick an AO/OTA code without a keyboard: segment, then group, then
// the place along the bone. What is stored is the code.
func (p *Page) codeRows(v *view, c record.Case) []app.UI {
	code := c.Injury.Code
	base, place := cutPlace(code)
	put := func(s string) error {
		return p.edit("code", func(c *record.Case) error { c.Injury.Code = s; return nil })
	}
	rows := []app.UI{v.row(p, &row{kind: choiceRow, long: true, key: "code", label: "AO/OTA 2018 code", note: shownCode(code),
		opts: groups(), get: func() string { return base },
		set: func(s string) error { return put(s) }})}
	if opts := places(base); len(opts) > 0 {
		rows = append(rows, v.row(p, &row{kind: choiceRow, long: true, key: "code-place", label: "Where along the shaft",
			opts: opts, get: func() string { return place },
			set: func(s string) error {
				if s == "" {
					return put(base)
				}
				return put(base + "(" + s + ")")
			}}))
	}
	return rows
}

func shownCode(code string) string {
	if code == "" {
		return "tap the group; tap it again to take it back"
	}
	if _, err := plan.ParseCode(code); err != nil {
		return text.Error(err)
	}
	return "chosen: " + code
}

func cutPlace(code string) (base, place string) {
	base, rest, _ := strings.Cut(code, "(")
	return base, strings.TrimSuffix(rest, ")")
}

func groups() []option {
	return []option{
		{"32A1", "32A1 spiral"}, {"32A2", "32A2 oblique"}, {"32A3", "32A3 transverse"},
		{"32B2", "32B2 wedge"}, {"32B3", "32B3 broken wedge"},
		{"32C2", "32C2 segmental"}, {"32C3", "32C3 broken segment"},
		{"31A1", "31A1"}, {"31A2", "31A2"}, {"31A3", "31A3"},
		{"31B1", "31B1"}, {"31B2", "31B2"}, {"31B3", "31B3"},
	}
}

func places(base string) []option {
	switch {
	case strings.HasPrefix(base, "32A"), strings.HasPrefix(base, "32B"):
		return []option{{"a", "(a) upper third"}, {"b", "(b) middle third"}, {"c", "(c) lower third"}}
	case strings.HasPrefix(base, "32C"):
		return []option{{"i", "(i) upper, into the metaphysis"}, {"j", "(j) shaft only"}, {"k", "(k) lower, into the metaphysis"}}
	}
	return nil
}
