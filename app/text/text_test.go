package text

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/source"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

var slot = regexp.MustCompile(`\{([a-z_]+)\}`)

// asked returns the facts that a template asks for.
func asked(template string) (out []string) {
	for _, m := range slot.FindAllStringSubmatch(template, -1) {
		out = append(out, m[1])
	}
	return out
}

// longest is how many letters a sentence may have before the facts go in: more
// is not read at a table.
const longest = 220

func TestEveryCodeHasWords(t *testing.T) {
	known := map[string]bool{}
	for _, c := range plan.Codes() {
		known[c.Name] = true
		templates := []string{reasons[c.Name]}
		if !c.Reason() {
			templates = []string{problems[c.Name].title, problems[c.Name].do}
		}
		given := map[string]bool{}
		for _, f := range c.Facts {
			given[f] = true
		}
		for _, s := range templates {
			if s == "" {
				t.Errorf("%s has no words", c.Name)
			}
			if n := utf8.RuneCountInString(s); n > longest {
				t.Errorf("%s: %d letters, more than %d: %s", c.Name, n, longest, s)
			}
			for _, f := range asked(s) {
				if !given[f] {
					t.Errorf("%s asks for {%s}, which nobody gives (%v)", c.Name, f, c.Facts)
				}
			}
			if strings.HasSuffix(strings.TrimSpace(s), ".") == (s == problems[c.Name].title) {
				t.Errorf("%s: a title has no full stop, a sentence has one: %s", c.Name, s)
			}
		}
	}
	for code := range reasons {
		if !known[code] {
			t.Errorf("reason %s has words and nobody gives it", code)
		}
	}
	for code := range problems {
		if !known[code] {
			t.Errorf("problem %s has words and nobody gives it", code)
		}
	}
}

// The direction of an error is said in words.
func TestHazardsAreSaid(t *testing.T) {
	for _, tt := range []struct{ code, want string }{
		{"sleeve-off-bone", "reads too long"},
		{"sleeve-unanswered", "reads too long"},
		{"rod-off-bone", "reads too long"},
		{"film-not-reduced", "reads too short"},
		{"reading-not-reduced", "too long"},
		{"canal-direct", "reads too wide"},
		{"side-contradiction", "Stop"},
		{"neck-not-cleared", "missed"},
		{"wire-differs", "reads too long"},
		{"canal-red", "burst"},
	} {
		title, do := problems[tt.code].title, problems[tt.code].do
		if !strings.Contains(title+" "+do, tt.want) {
			t.Errorf("%s does not say %q: %s. %s", tt.code, tt.want, title, do)
		}
	}
	for _, code := range []string{"route-film", "route-rods", "route-skin"} {
		if !strings.Contains(reasons[code], "reads too") {
			t.Errorf("%s does not say which way it errs: %s", code, reasons[code])
		}
	}
}

// A plan of every practice case is words throughout: no code, no brace, no
// NaN, and each unit tied to its value.
func TestPlansInWords(t *testing.T) {
	loose := regexp.MustCompile(`[0-9] (mm|%|px)\b`)
	for _, path := range testkit.Files(t, "cases/*/case.json") {
		name := filepath.Base(filepath.Dir(path))
		c, err := record.Unmarshal(testkit.Read(t, "cases/"+name+"/case.json"))
		if err != nil {
			t.Fatal(err)
		}
		pl := plan.For(c, implant.Teaching())
		for _, s := range everything(c, pl) {
			if s == "" || strings.ContainsAny(s, "{}") || strings.Contains(s, "NaN") || strings.Contains(s, "without words") {
				t.Errorf("%s: %q", name, s)
			}
			if loose.MatchString(s) {
				t.Errorf("%s: a unit can part from its value: %q", name, s)
			}
		}
	}
}

func everything(c record.Case, pl plan.Plan) (out []string) {
	why := func(rs []plan.Reason) {
		for _, r := range rs {
			out = append(out, Reason(r))
		}
	}
	for _, s := range pl.Scales {
		why(s.Why)
		out = append(out, Scale(s.Plane))
	}
	for _, r := range pl.Bone.Routes {
		why([]plan.Reason{r.Why})
		out = append(out, Bias(r.Bias), RouteTitle(r))
	}
	for _, rs := range [][]plan.Reason{pl.Locking.Why, pl.Locking.Against, pl.Locking.Change, pl.Nail.WhyLength, pl.Nail.WhyDia,
		pl.Nail.Lost, pl.Reaming.Why, pl.Head.Why, pl.Head.Lower.Why, pl.Head.Upper.Why} {
		why(rs)
	}
	for _, p := range pl.Problems {
		title, do := Problem(p)
		out = append(out, title, do)
	}
	for _, l := range Sheet(c, pl) {
		out = append(out, l.Part, l.Title, l.Result, string(l.State))
	}
	out = append(out, NailDetail(pl.Nail)...)
	return append(out, Cautions()...)
}

func TestNumbers(t *testing.T) {
	nb := "\u00a0"
	for _, tt := range []struct{ got, want string }{
		{MM(95), "95" + nb + "mm"},
		{MM(9.5), "9.5" + nb + "mm"},
		{Length(units.Length{Best: 412.3, Own: 3}), "412" + nb + "±" + nb + "6" + nb + "mm"},
		{Length(units.Length{Best: units.MM(math.NaN())}), "no length"},
		{Percent(0.74), "74" + nb + "%"},
		{Percent(0.999), "over" + nb + "99" + nb + "%"},
		{Percent(0.001), "under" + nb + "1" + nb + "%"},
		{Percent(0), "0" + nb + "%"},
		{Percent(1), "100" + nb + "%"},
		{Percent(math.NaN()), "no number"},
		{Angle(units.Angle{Best: 130}), "130°"},
	} {
		if tt.got != tt.want {
			t.Errorf("%q, want %q", tt.got, tt.want)
		}
	}
}

func TestError(t *testing.T) {
	for _, tt := range []struct {
		err  error
		want string
	}{
		{nil, ""},
		{&calibrate.SmallMarkerError{Kind: calibrate.FromBallMark, Got: 12, Need: 40},
			"The ball is 12\u00a0px wide, need 40: zoom in and mark its rim again, or open the film in full size."},
		{&units.NumberError{Why: "empty", Hi: 10, Unit: "mm"}, "Nothing is entered: type a number from 0 to 10\u00a0mm."},
		{fmt.Errorf("record: %w", errors.New("canon: odd")), "Odd."},
		{errors.New(""), "Something failed and did not say what: try again, and export the case first."},
	} {
		if got := Error(tt.err); got != tt.want {
			t.Errorf("Error(%v) = %q, want %q", tt.err, got, tt.want)
		}
	}
	if _, err := plan.ParseCode("32B1"); !strings.HasPrefix(Error(err), "Fracture code “32B1” has a group") {
		t.Errorf("%q", Error(err))
	}
}

func TestEveryNameHasWords(t *testing.T) {
	for _, v := range []anatomy.View{anatomy.AP, anatomy.Lateral} {
		for _, l := range anatomy.Landmarks(v) {
			if name, hint := Landmark(l); name == string(l) || hint == "" {
				t.Errorf("landmark %s has no words", l)
			}
		}
	}
	for _, k := range plan.Knobs() {
		if Knob(k.Key) == k.Key {
			t.Errorf("policy value %s has no name", k.Key)
		}
	}
	for _, o := range []calibrate.Origin{calibrate.FromBallMark, calibrate.FromDiscMark, calibrate.FromRuler, calibrate.FromTwoBalls, calibrate.FromPart, calibrate.Fiducial, calibrate.Geometry,
		calibrate.Corrected, calibrate.MachineGuess, calibrate.ByDistances, calibrate.AtDetector, calibrate.UnknownTags, calibrate.AssumedSite, calibrate.Combined} {
		if Origin(o) == Origin("") {
			t.Errorf("origin %s has no words", o)
		}
	}
	for _, l := range []record.Level{record.NearLesser, record.Subtrochanter, record.MidShaft, record.BelowIsthmus} {
		if Level(l) == Level("") {
			t.Errorf("level %s has no words", l)
		}
	}
	for _, b := range []string{plan.BiasShort, plan.BiasSide, plan.BiasRods, plan.BiasSkin, plan.BiasPieces} {
		if Bias(b) == Bias("") {
			t.Errorf("bias %s has no words", b)
		}
	}
	for _, s := range source.All() {
		if citation, seen := Source(s.Key); citation != s.Citation || seen == "" {
			t.Errorf("source %s has no words", s.Key)
		}
	}
	if citation, _ := Source("nobody"); !strings.Contains(citation, "not registered") {
		t.Errorf("an unknown source reads %q", citation)
	}
	if Pattern(plan.Standard) == Pattern(plan.HeadLock) || Pattern("") == Pattern(plan.Standard) {
		t.Error("two patterns read alike")
	}
}

func TestSheet(t *testing.T) {
	empty := Sheet(record.Case{}, plan.For(record.Case{}, implant.Teaching()))
	var parts []string
	for _, l := range empty {
		parts = append(parts, l.Part)
		if l.State == Settled {
			t.Errorf("%s is settled in an empty case: %s", l.Part, l.Result)
		}
	}
	if got := strings.Join(parts, " "); got != "injury films bone nail head distal kit record after" {
		t.Errorf("parts %s", got)
	}
	if empty[0].State != InDispute { // the neck is not cleared: a stop
		t.Errorf("injury is %s", empty[0].State)
	}
	c, err := record.Unmarshal(testkit.Read(t, "cases/neck-and-shaft/case.json"))
	if err != nil {
		t.Fatal(err)
	}
	full := Sheet(c, plan.For(c, implant.Teaching()))
	for i, want := range []string{"Head locking", "", "", "Ask for the nail", "Lower 95\u00a0mm, upper 90\u00a0mm", "Two distal screws, static", "", "Nothing recorded yet", "Nothing measured yet"} {
		if !strings.HasPrefix(full[i].Result, want) {
			t.Errorf("%s: %q, want %q", full[i].Part, full[i].Result, want)
		}
	}
}

func TestCautions(t *testing.T) {
	all := strings.Join(Cautions(), " ")
	for _, want := range []string{"calculation aid", "every number", "image", "parts on the table", "own instructions", "protocol", "licensed clinician"} {
		if !strings.Contains(all, want) {
			t.Errorf("the cautions do not say %q", want)
		}
	}
}
