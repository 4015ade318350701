package drawing

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

var update = flag.Bool("update", false, "write the golden drawings again")

// An element is one shape or text of a drawing, read back as a browser would.
type element struct {
	name string
	attr map[string]string
	text string
}

func (e element) num(t testing.TB, key string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(e.attr[key], 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		t.Fatalf("<%s %v>: %s is %q, no number", e.name, e.attr, key, e.attr[key])
	}
	return v
}

// read parses a drawing and returns its elements outside <defs>.
func read(t testing.TB, svg string) []element {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(svg))
	var out []element
	var stack []int
	defs := 0
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("not well-formed: %v\n%s", err, svg)
		}
		switch k := tok.(type) {
		case xml.StartElement:
			checkSafe(t, k)
			if k.Name.Local == "defs" || defs > 0 {
				defs++
				continue
			}
			e := element{name: k.Name.Local, attr: map[string]string{}}
			for _, a := range k.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			stack = append(stack, len(out))
			out = append(out, e)
		case xml.EndElement:
			if defs > 0 {
				defs--
				continue
			}
			stack = stack[:len(stack)-1]
		case xml.CharData:
			if defs == 0 && len(stack) > 0 {
				out[stack[len(stack)-1]].text += string(k)
			}
		}
	}
	if len(out) < 4 || out[0].name != "svg" {
		t.Fatalf("no drawing: %.200s", svg)
	}
	return out
}

var allowed = map[string]bool{"svg": true, "title": true, "desc": true, "defs": true, "pattern": true, "path": true,
	"line": true, "circle": true, "rect": true, "text": true, "g": true}

// checkSafe fails on whatever the page's policy forbids or the network would see.
func checkSafe(t testing.TB, k xml.StartElement) {
	t.Helper()
	if !allowed[k.Name.Local] {
		t.Errorf("element <%s> is not one we draw with", k.Name.Local)
	}
	for _, a := range k.Attr {
		n := a.Name.Local
		if n == "style" || strings.HasPrefix(n, "on") || n == "href" || n == "src" {
			t.Errorf("<%s> has the attribute %s", k.Name.Local, n)
		}
		if strings.Contains(a.Value, "url(") && !strings.HasPrefix(a.Value, "url(#") {
			t.Errorf("<%s %s=%q> refers outside", k.Name.Local, n, a.Value)
		}
		if n != "xmlns" && strings.Contains(a.Value, "://") {
			t.Errorf("<%s %s=%q> names an address", k.Name.Local, n, a.Value)
		}
	}
}

var point = regexp.MustCompile(`[ML](-?[0-9.]+) (-?[0-9.]+)`)
var pathOnly = regexp.MustCompile(`^(?:[ML]-?[0-9.]+ -?[0-9.]+)+Z?$`)

// corners returns the points an element reaches.
func corners(t testing.TB, e element) []xy {
	t.Helper()
	switch e.name {
	case "line":
		return []xy{{e.num(t, "x1"), e.num(t, "y1")}, {e.num(t, "x2"), e.num(t, "y2")}}
	case "circle":
		x, y, r := e.num(t, "cx"), e.num(t, "cy"), e.num(t, "r")
		return []xy{{x - r, y - r}, {x + r, y + r}}
	case "rect":
		x, y := e.num(t, "x"), e.num(t, "y")
		return []xy{{x, y}, {x + e.num(t, "width"), y + e.num(t, "height")}}
	case "path":
		if !pathOnly.MatchString(e.attr["d"]) {
			t.Fatalf("path %q uses more than straight lines: this test cannot see where it goes", e.attr["d"])
		}
		var out []xy
		for _, m := range point.FindAllStringSubmatch(e.attr["d"], -1) {
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[2], 64)
			out = append(out, xy{x, y})
		}
		return out
	case "text":
		a, b := textBox(t, e)
		return []xy{a, b}
	}
	return nil
}

// textBox estimates where a text is from its count of characters: 0.58 em
// for each, which is a little over the mean of wide screen fonts.
func textBox(t testing.TB, e element) (xy, xy) {
	t.Helper()
	size, x, y := e.num(t, "font-size"), e.num(t, "x"), e.num(t, "y")
	if size < 12 {
		t.Errorf("text %q is %g px, smaller than 12", e.text, size)
	}
	w := 0.58 * size * float64(utf8.RuneCountInString(e.text))
	switch e.attr["text-anchor"] {
	case "middle":
		x -= w / 2
	case "end":
		x -= w
	}
	return xy{x, y - 0.74*size}, xy{x + w, y + 0.2*size}
}

// checkDrawing runs every check that holds for each drawing.
func checkDrawing(t testing.TB, name, svg string) []element {
	t.Helper()
	els := read(t, svg)
	root := els[0]
	box := strings.Fields(root.attr["viewBox"])
	w, _ := strconv.ParseFloat(box[2], 64)
	h, _ := strconv.ParseFloat(box[3], 64)
	if root.attr["role"] != "img" || els[1].name != "title" || els[1].text == "" || els[2].name != "desc" || els[2].text == "" {
		t.Errorf("%s: not labelled for a screen reader: %v", name, root.attr)
	}
	if root.attr["aria-labelledby"] != els[1].attr["id"]+" "+els[2].attr["id"] {
		t.Errorf("%s: aria-labelledby %q does not name title and description", name, root.attr["aria-labelledby"])
	}
	if !(w > 0 && h > 0) || strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") {
		t.Fatalf("%s: broken numbers in %.300s", name, svg)
	}
	for _, e := range els {
		tol := 1e-6
		if e.name == "text" {
			tol = 3
		}
		for _, c := range corners(t, e) {
			if !(c.x >= -tol && c.y >= -tol && c.x <= w+tol && c.y <= h+tol) {
				t.Errorf("%s: <%s class=%q> %q reaches %.1f, %.1f outside of %g × %g", name, e.name, e.attr["class"], e.text, c.x, c.y, w, h)
			}
		}
	}
	checkTexts(t, name, els)
	checkScale(t, name, els)
	return els
}

func checkTexts(t testing.TB, name string, els []element) {
	t.Helper()
	for i, a := range els {
		if a.name != "text" {
			continue
		}
		a0, a1 := textBox(t, a)
		for _, b := range els[i+1:] {
			if b.name != "text" {
				continue
			}
			b0, b1 := textBox(t, b)
			if x, y := math.Min(a1.x, b1.x)-math.Max(a0.x, b0.x), math.Min(a1.y, b1.y)-math.Max(a0.y, b0.y); x > 0.5 && y > 0.5 {
				t.Errorf("%s: text %q lies over %q by %.1f × %.1f px", name, a.text, b.text, x, y)
			}
		}
	}
}

// checkScale lays a ruler on every element that says how long it is, and on
// every two that say where they lie.
func checkScale(t testing.TB, name string, els []element) {
	t.Helper()
	checked := 0
	for _, e := range els {
		if e.attr["data-mm"] == "" {
			continue
		}
		checked++
		c := corners(t, e)
		got := c[0].minus(c[1]).length()
		if e.name == "circle" {
			got = 2 * e.num(t, "r")
		}
		if want := e.num(t, "data-mm") * e.num(t, "data-k"); !(math.Abs(got-want) <= 0.01) {
			t.Errorf("%s: %s is %.3f px long, %g mm × %g is %.3f", name, e.attr["data-what"], got, e.num(t, "data-mm"), e.num(t, "data-k"), want)
		}
	}
	if checked == 0 {
		t.Errorf("%s: nothing in it says how long it is", name)
	}
}

// find returns the elements of one name in the drawing.
func find(els []element, what string) []element {
	var out []element
	for _, e := range els {
		if e.attr["data-what"] == what {
			out = append(out, e)
		}
	}
	return out
}

// mmOf returns how many millimetres an element says it is long.
func mmOf(t testing.TB, els []element, what string) float64 {
	t.Helper()
	hits := find(els, what)
	if len(hits) != 1 {
		t.Fatalf("%d elements are called %q, want one", len(hits), what)
	}
	return hits[0].num(t, "data-mm")
}

// nothing fails the test unless a drawing was refused with this number.
func nothing(t testing.TB, name, svg string, err error, what string) {
	t.Helper()
	var none *NothingToDrawError
	if svg != "" || !errors.As(err, &none) {
		t.Fatalf("%s: drawn %.60q with error %v, want a NothingToDrawError", name, svg, err)
	}
	found := false
	for _, g := range none.Missing {
		found = found || strings.Contains(g.What, what)
	}
	if !found {
		t.Errorf("%s: refused for %v, want %q among it", name, none.Missing, what)
	}
	if !strings.HasPrefix(err.Error(), "drawing: ") || !strings.HasSuffix(err.Error(), "enter or measure it again") || none.Code() != "drawing-nothing" {
		t.Errorf("%s: the sentence is %q", name, err)
	}
}

var number = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?`)

// golden compares a drawing with the one that was reviewed: the same text,
// numbers within 0.002 so that processors may differ in the last digit.
func golden(t *testing.T, name, svg string) {
	t.Helper()
	path := filepath.Join("testdata", name+".svg")
	svg = strings.ReplaceAll(svg, "><", ">\n<") + "\n"
	if *update {
		if err := os.WriteFile(path, []byte(svg), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if number.ReplaceAllString(string(b), "#") != number.ReplaceAllString(svg, "#") {
		t.Fatalf("%s differs from the drawing that was reviewed; look at it, then run with -update", name)
	}
	want, got := number.FindAllString(string(b), -1), number.FindAllString(svg, -1)
	for i := range want {
		x, _ := strconv.ParseFloat(want[i], 64)
		y, _ := strconv.ParseFloat(got[i], 64)
		if math.Abs(x-y) > 0.002 {
			t.Fatalf("%s: number %d is %s, reviewed %s; look at it, then run with -update", name, i, got[i], want[i])
		}
	}
}
