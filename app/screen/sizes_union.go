package screen

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// unionRows are the four cortices that a score of union adds up.
var unionRows = [4]struct{ key, name string }{{"union.inner", "inner"}, {"union.outer", "outer"}, {"union.front", "front"}, {"union.back", "back"}}

// unionScale is the chosen scale and the most one cortex can have.
func (p *Page) unionScale() (string, int) {
	if p.word("union.scale") == plan.ScaleMRUST {
		return plan.ScaleMRUST, 4
	}
	return plan.ScaleRUST, 3
}

// count is a typed whole number, or nil.
func (p *Page) count(key string) *int {
	n := p.number(key)
	if n == nil {
		return nil
	}
	v := int(*n)
	return &v
}

// unionAnswer is the score, and the scores of the cortices with 0 for those
// that are missing.
func (p *Page) unionAnswer() (a plan.UnionAnswer, of [4]int) {
	scale, most := p.unionScale()
	var all []int
	for i, c := range unionRows {
		if n := p.count(c.key); n != nil && *n >= 1 && *n <= 4 {
			all = append(all, *n)
			of[i] = min(*n, most)
		}
	}
	if len(all) < len(unionRows) {
		return a, of
	}
	return plan.UnionFrom(all, scale, plan.DefaultPolicy()), of
}

func (p *Page) unionLine() string {
	if !p.ready {
		return ""
	}
	scale, _ := p.unionScale()
	if a, _ := p.unionAnswer(); a.Score > 0 {
		return text.UnionSays(a, scale) + ", " + strconv.Itoa(a.Score)
	}
	return "nothing entered"
}

// sizeUnion gives the score of union and what the days since the nail say.
func (p *Page) sizeUnion() *view {
	v := newView("sizes", "Union", "/sizes")
	scale, most := p.unionScale()
	policy := plan.DefaultPolicy()
	a, of := p.unionAnswer()
	v.add(p.staleUI(v), p.sizeTabs(v, "union.scale", plan.ScaleRUST, "Which score", option{plan.ScaleRUST, "RUST"}, option{plan.ScaleMRUST, "mRUST"}))
	steps := "1 no callus, 2 callus with a line, 3 bridged and no line"
	if most == 4 {
		steps = "1 none, 2 callus, 3 bridging, 4 remodelled"
	}
	keys := []app.UI{app.P().Class("gloss").Text("Each cortex: " + steps + ".")}
	for _, c := range unionRows {
		keys = append(keys, v.row(p, p.typed(c.key, &row{label: capitalised(c.name) + " cortex", unit: "of " + strconv.Itoa(most), lo: 1, hi: float64(most), step: 1, whole: true})))
	}
	keys = append(keys, p.sayProblems(a.Problems)...)
	keys = append(keys, v.row(p, p.typed("union.days", &row{label: "Days since the nail", note: "at the film", unit: "days", lo: 0, hi: 5000, step: 7, whole: true})))
	days := p.count("union.days")
	var rest []app.UI
	rest = append(rest, p.dayAdvice(v, a, days, policy)...)
	rest = append(rest, p.whyUI(v, "why-union", "Why this answer?", a.Why...))
	in := drawing.UnionInput{ID: "union", Cortices: of, Most: most, Limit: int(policy.UnitedRUST), Days: days, From: int(policy.WindowFrom), To: int(policy.WindowTo)}
	if scale == plan.ScaleMRUST {
		in.Limit = int(policy.UnitedMRUST)
	}
	for i, c := range unionRows {
		in.Names[i] = c.name
	}
	number, beside := "", "Score all four cortices, on both films."
	if a.Score > 0 {
		number, beside = strconv.Itoa(a.Score), strconv.Itoa(a.Lo)+" to "+strconv.Itoa(a.Hi)+", united from "+strconv.Itoa(in.Limit)+" on"
	}
	v.add(calc([]app.UI{askUI("union", sizeBox(number, text.UnionOf(a), true), text.UnionSays(a, scale), beside, nil)}, keys, []app.UI{svg(drawing.Union(in))}, rest))
	v.ready = a.Score > 0
	return v
}

// dayAdvice is what the days since the nail say of a bone that has not united.
func (p *Page) dayAdvice(v *view, a plan.UnionAnswer, days *int, policy plan.Policy) []app.UI {
	if days == nil || a.United == record.Yes {
		return nil
	}
	reasons := plan.DynamiseOn(*days, policy)
	return []app.UI{
		app.Div().Class("note").Body(app.B().Text("Dynamising"), app.Text(text.Reason(reasons[0]))),
		p.whyUI(v, "why-days", "How often does it help?", reasons[1:]...)}
}

func capitalised(s string) string { return string(s[0]-'a'+'A') + s[1:] }
