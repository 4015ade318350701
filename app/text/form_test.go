package text

import (
	"strings"
	"testing"

	"isthmus/core/plan"
	"isthmus/core/units"
)

// Each line has its number with a doubt, or says that it cannot tell and why.
func TestFormLines(t *testing.T) {
	ratio := func(code, what string) *plan.Told {
		return &plan.Told{Ratio: &units.Ratio{Best: 0.5714, U: 0.0201}, Why: plan.Reason{Code: code}}
	}
	straight := &plan.Told{Why: plan.Reason{Code: "bow-straight"}}
	no := &plan.Told{Why: plan.Reason{Code: "form-untold", Facts: []plan.Fact{{Name: "what", Word: "flare-index"}, {Name: "error", Word: "it is dark"}}}}
	lines := FormLines(plan.Form{Cortex: ratio("form-cortex", ""), Flare: no, Bow: straight})
	if len(lines) != 3 || !lines[0].Told || lines[1].Told || !lines[2].Told {
		t.Fatalf("%+v", lines)
	}
	for i, want := range []string{"Cortical index at the isthmus: 0.57 ± 0.04", "Flare index", "Bow, seen from the side: cannot be told from straight"} {
		if got := strings.ReplaceAll(lines[i].Title, nbsp, " "); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := Reason(no.Why); got != "I cannot tell the flare index, because it is dark." {
		t.Errorf("%q", got)
	}
	if len(FormLines(plan.Form{})) != 0 {
		t.Error("a plan without a form has lines")
	}
	if got := strings.ReplaceAll(Ratio(units.Ratio{Best: 3.5, U: 0.0001}), nbsp, " "); got != "3.5 ± 0.01" {
		t.Errorf("a doubt that rounds to nothing: %q", got)
	}
}
