package drawing

import (
	"encoding/xml"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"isthmus/core/testkit"
)

// Every golden drawing belongs to a test.
func TestGoldenFilesAreUsed(t *testing.T) {
	files, err := filepath.Glob("testdata/*.svg")
	if err != nil || len(files) == 0 {
		t.Fatalf("no golden drawing found: %v", err)
	}
	known := samples(t)
	for _, f := range files {
		if _, ok := known[strings.TrimSuffix(filepath.Base(f), ".svg")]; !ok {
			t.Errorf("%s belongs to no test", f)
		}
	}
}

// Every class a drawing uses has its look in drawing.css.
func TestClassesHaveALook(t *testing.T) {
	css, err := os.ReadFile(filepath.Join(testkit.Root(t), "web", "static", "drawing.css"))
	if err != nil {
		t.Fatal(err)
	}
	plain := map[string]bool{"d": true, "d-t": true, "d-none": true, "d-icon": true}
	class := regexp.MustCompile(`class="([^"]*)"`)
	shown := map[string]bool{}
	for _, svg := range samples(t) {
		head := svg[:strings.Index(svg, ">")+1]
		for _, m := range class.FindAllStringSubmatch(strings.TrimPrefix(svg, head), -1) {
			for _, c := range strings.Fields(m[1]) {
				shown[c] = true
			}
		}
	}
	for c := range shown {
		if !plain[c] && !regexp.MustCompile(`\.`+regexp.QuoteMeta(c)+`\b[^-]`).Match(css) {
			t.Errorf("class %q has no rule in drawing.css", c)
		}
	}
	if len(shown) < 15 {
		t.Errorf("only %d classes seen: the samples show too little", len(shown))
	}
}

// Two drawings on one page share no identifier when their prefixes differ.
func TestIdentifiersCarryThePrefix(t *testing.T) {
	in := fullStrip()
	in.ID = "one"
	a, _ := Strip(in, Narrow)
	in.ID = "two"
	b, _ := Strip(in, Narrow)
	id := regexp.MustCompile(`\bid="([^"]*)"`)
	seen := map[string]bool{}
	for _, m := range append(id.FindAllStringSubmatch(a, -1), id.FindAllStringSubmatch(b, -1)...) {
		if seen[m[1]] {
			t.Errorf("identifier %q is used twice", m[1])
		}
		seen[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`url\(#([^)]*)\)`).FindAllStringSubmatch(a+b, -1) {
		if !seen[m[1]] {
			t.Errorf("reference to %q, which is not there", m[1])
		}
	}
	if len(seen) < 8 {
		t.Errorf("only %d identifiers found", len(seen))
	}
}

func TestPrefixCannotBreakOut(t *testing.T) {
	in := fullStrip()
	for _, id := range []string{`"><script>`, "", "7", "-x", "ä ö", `a" onload="x`} {
		in.ID = id
		svg, err := Strip(in, Narrow)
		if err != nil {
			t.Fatal(err)
		}
		checkDrawing(t, "prefix "+id, svg)
	}
}

// Text that a person or a file brought in stays text.
func TestTextIsEscaped(t *testing.T) {
	in := neckSample()
	in.Screws, in.Missing = nil, `a<b>&"c'`+"\x00\x07"
	svg, err := NeckAP(in)
	if err != nil {
		t.Fatal(err)
	}
	els := checkDrawing(t, "escaped", svg)
	for _, e := range els {
		if e.name == "text" && strings.HasPrefix(e.text, `a<b>&"c'`) {
			return
		}
	}
	t.Error("the text did not come back as it went in")
}

func TestSpread(t *testing.T) {
	for _, tt := range []struct {
		name       string
		want, size []float64
		lo, hi     float64
		ok         bool
	}{
		{"apart already", []float64{10, 50}, []float64{10, 10}, 0, 100, true},
		{"same place", []float64{50, 50, 50}, []float64{10, 20, 10}, 0, 100, true},
		{"at the end", []float64{99, 100}, []float64{10, 10}, 0, 100, true},
		{"wrong order", []float64{80, 10}, []float64{10, 10}, 0, 100, true},
		{"no room", []float64{1, 2}, []float64{60, 60}, 0, 100, false},
		{"just room", []float64{1, 2}, []float64{49, 49}, 0, 100, true},
	} {
		mid, ok := spread(tt.want, tt.size, tt.lo, tt.hi, 2)
		if ok != tt.ok {
			t.Errorf("%s: fits %v, want %v", tt.name, ok, tt.ok)
		}
		for i := range mid {
			if mid[i]-tt.size[i]/2 < tt.lo-1e-9 || mid[i]+tt.size[i]/2 > tt.hi+1e-9 {
				t.Errorf("%s: %v leaves %g…%g", tt.name, mid, tt.lo, tt.hi)
			}
			for j := range mid[:i] {
				if math.Abs(mid[i]-mid[j]) < (tt.size[i]+tt.size[j])/2+2-1e-9 {
					t.Errorf("%s: %v overlap", tt.name, mid)
				}
				if (mid[i] > mid[j]) != (tt.want[i] >= tt.want[j]) {
					t.Errorf("%s: %v changed the order of %v", tt.name, mid, tt.want)
				}
			}
		}
	}
}

func TestIcons(t *testing.T) {
	for _, name := range []string{"sizes", "cases", "shelf", "film", "export", "import", "undo", "redo", "trash", "plus", "minus",
		"back", "warning", "check", "camera", "flip", "rotate", "invert", "zoom"} {
		if Icon(name) == "" {
			t.Errorf("no icon %q", name)
		}
	}
	seen := map[string]string{}
	for _, name := range IconNames() {
		svg := Icon(name)
		dec := xml.NewDecoder(strings.NewReader(svg))
		for {
			tok, err := dec.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("icon %s: %v", name, err)
			}
			if k, ok := tok.(xml.StartElement); ok {
				checkSafe(t, k)
			}
		}
		if other, ok := seen[svg]; ok {
			t.Errorf("icons %s and %s are the same", name, other)
		}
		seen[svg] = name
		for _, m := range regexp.MustCompile(`[0-9.]+`).FindAllString(svg[strings.Index(svg, ` d="`):], -1) {
			if v, _ := strconv.ParseFloat(m, 64); v < 0 || v > 24 {
				t.Errorf("icon %s reaches %s, outside of 24", name, m)
			}
		}
		if !strings.Contains(svg, `stroke="currentColor"`) || !strings.Contains(svg, `aria-hidden="true"`) {
			t.Errorf("icon %s has a colour of its own or speaks", name)
		}
	}
	if Icon("no such thing") != "" {
		t.Error("an unknown name drew something")
	}
}
