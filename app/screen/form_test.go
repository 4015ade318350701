package screen

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"testing/synctest"

	"isthmus/app/state"
	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// casePage returns a page with an open case that has an answer on every screen.
func casePage(t *testing.T) (*Page, string) {
	t.Helper()
	s := state.New(state.World{Store: state.NewMemory(), Clock: &filmClock{}})
	if err := s.Start(t.Context()); err != nil {
		t.Fatal(err)
	}
	id, err := s.NewCase(t.Context(), "K-07")
	if err != nil {
		t.Fatal(err)
	}
	err = s.Do("fill", func(c *record.Case) error {
		c.Side, c.Notes, c.Injury.AgeYears = anatomy.Left, "as it was", new(40)
		for _, k := range []record.ReadingKind{record.TwoRods, record.WireLower, record.WireUpper} {
			first, second := units.MM(100), units.MM(90)
			r := record.Reading{ID: s.NewID(), Kind: k, At: s.Now(), First: &first}
			if k == record.TwoRods {
				first = 900
				r.Second = &second
			}
			c.Readings = append(c.Readings, r)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	p := New(s, Browser{})
	p.ready = true
	return p, "/case/" + id
}

// everyForm is every screen that has rows; home is the address of a case.
func everyForm(home string) []string {
	out := []string{"/sizes/head", "/sizes/nail", "/sizes/scale", "/shelf", "/about", home}
	for _, part := range []string{"injury", "bone", "nail", "head", "distal", "record", "after", "removal"} {
		out = append(out, home+"/"+part)
	}
	for _, b := range bays() {
		out = append(out, "/shelf/"+b.key)
	}
	return out
}

// facts is all that is kept of a page, as text.
func facts(t *testing.T, p *Page) string {
	t.Helper()
	c, _ := p.s.Case()
	b, err := record.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	return string(b) + string(implant.WriteJSON(p.s.Shelf()))
}

// badNumbers is what fingers, pasting and other habits send to a field for a
// number.
var badNumbers = []string{".", ",", "-", "+", "abc", "NaN", "Inf", "-1", "1e308", "1e3", "0x20", "1,2,3", "1.2.3", "100000", "98 mm", "٣٥", "1'000"}

// No number that is out of range, or is none, changes anything; the row shows
// it as it was typed and says what to type instead.
func TestBadNumbersChangeNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := casePage(t)
		tried := 0
		for _, path := range everyForm(home) {
			p.path = path
			for key, r := range p.view().rows {
				if r.kind != numberRow {
					continue
				}
				before, stored := facts(t, p), r.get()
				for _, bad := range badNumbers {
					if bad == "-1" && r.lo < 0 {
						continue // an angle may count backwards
					}
					p.Do("set|" + key + "|" + bad)
					r := p.view().rows[key]
					if got := facts(t, p); got != before || r.get() != stored {
						t.Errorf("%s, %s: “%s” changed what is stored, %q to %q", path, key, bad, stored, r.get())
					}
					if got := p.shown(r); got != bad {
						t.Errorf("%s, %s: the row shows %q, want “%s” as typed", path, key, got, bad)
					}
					if w := strings.ReplaceAll(p.wrong[p.slot(key)], "\u00a0", " "); !strings.Contains(w, "“"+bad+"”") || !strings.Contains(w, "type a number from") {
						t.Errorf("%s, %s: “%s” is refused with %q, want what was typed and what to type", path, key, bad, w)
					}
					tried++
				}
				p.Do("set|" + key + "|" + stored)
				if w := p.wrong[p.slot(key)]; w != "" || p.shown(p.view().rows[key]) != stored {
					t.Errorf("%s, %s: the stored value %q again says %q", path, key, stored, w)
				}
			}
		}
		if tried < 500 {
			t.Errorf("only %d bad numbers were tried: the screens have lost their rows", tried)
		}
		synctest.Wait()
	})
}

// A decimal comma is a decimal point, on every row.
func TestDecimalComma(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := casePage(t)
		for _, path := range everyForm(home) {
			p.path = path
			for key, r := range p.view().rows {
				if r.kind != numberRow || r.whole || r.unit == "years" || r.hi-r.lo < 1 {
					continue
				}
				comma := plain(r.lo+0.5) + ",0"
				if whole, part, ok := strings.Cut(plain(r.lo+0.5), "."); ok {
					comma = whole + "," + part
				}
				p.Do("set|" + key + "|" + comma)
				got, err := units.ParseNumber(p.view().rows[key].get(), r.lo, r.hi, r.unit)
				if err != nil || got != r.lo+0.5 || p.wrong[p.slot(key)] != "" {
					t.Errorf("%s, %s: “%s” is kept as %v (%v, %q), want %v", path, key, comma, got, err, p.wrong[p.slot(key)], r.lo+0.5)
				}
			}
		}
		synctest.Wait()
	})
}

// A text with a control character in it, or far too long, changes nothing and
// stays in its field.
func TestBadTextChangesNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := casePage(t)
		for path, key := range map[string]string{home: "label", home + "/record": "notes", "/shelf": "shelf-name"} {
			p.path = path
			before, stored := facts(t, p), p.view().rows[key].get()
			for _, bad := range []string{"a\x00b", strings.Repeat("long ", 20_000)} {
				p.Do("set|" + key + "|" + bad)
				synctest.Wait()
				r := p.view().rows[key]
				if facts(t, p) != before || r.get() != stored {
					t.Errorf("%s: %.9q changed what is stored", key, bad)
				}
				if p.shown(r) != bad || len(p.wrong[p.slot(key)]) < 20 {
					t.Errorf("%s: %.9q is refused with %q, want it kept with a reason", key, bad, p.wrong[p.slot(key)])
				}
			}
		}
	})
}

// Where an earlier number of a case goes on counting while another is refused,
// the sentence says so; and − and + do not make a number of the refused one.
func TestRefusedNumberOfACase(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := casePage(t)
		p.path = home + "/head"
		p.Do("set|lower-depth|9800")
		if w := p.wrong[p.slot("lower-depth")]; !strings.Contains(w, "Until then 100\u00a0mm counts") {
			t.Errorf("the sentence is %q, want that 100 mm counts until then", w)
		}
		p.Do("step|lower-depth|-")
		if c, _ := p.s.Case(); *reading(c, record.WireLower).First != 100 {
			t.Errorf("one step down from 9800 made it %v, want still 100", *reading(c, record.WireLower).First)
		}
		p.Do("set|lower-depth|98,5")
		if c, _ := p.s.Case(); *reading(c, record.WireLower).First != 98.5 || p.wrong[p.slot("lower-depth")] != "" {
			t.Errorf("98,5 is kept as %v with %q", *reading(c, record.WireLower).First, p.wrong[p.slot("lower-depth")])
		}
		synctest.Wait()
	})
}

// What was typed for one patient, refused or not yet finished, is never shown
// with another.
func TestTypedStaysWithItsCase(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := casePage(t)
		p.path = home + "/head"
		p.Do("set|lower-depth|9800")
		p.path = home + "/record"
		p.Do("set|implant-kind|nail")
		p.Do("set|implant-diameter|11")
		p.Do("set|implant-length|9999")
		id, err := p.s.NewCase(t.Context(), "K-08")
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range []string{"/head", "/record"} {
			p.path = "/case/" + id + part
			for key, r := range p.view().rows {
				if strings.HasPrefix(key, "knob-") {
					continue // stands at the usual policy
				}
				if got := p.shown(r); got != "" || p.wrong[p.slot(key)] != "" {
					t.Errorf("the new case shows %q (%q) in %s, typed for the other", got, p.wrong[p.slot(key)], key)
				}
			}
		}
		if err := p.s.OpenCase(t.Context(), strings.TrimPrefix(home, "/case/")); err != nil {
			t.Fatal(err)
		}
		p.path = home + "/record"
		if got := p.shown(p.view().rows["implant-length"]); got != "9999" {
			t.Errorf("back in the first case the length is %q, want 9999 as typed", got)
		}
		synctest.Wait()
	})
}

// While a number of a new part is refused, nothing is added or recorded in its
// place, not even the number that stood there before.
func TestRefusedNumberAddsNoPart(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := casePage(t)
		p.path = "/shelf/reamers"
		p.Do("set|bay-reamers-diameter|9.5")
		p.Do("set|bay-reamers-stock|1")
		p.Do("set|bay-reamers-diameter|95")
		before := facts(t, p)
		p.Do("bay-add")
		synctest.Wait()
		if facts(t, p) != before || !strings.Contains(p.says.text, "Nothing was added") || !strings.Contains(p.says.text, "“95”") {
			t.Errorf("with 95 in the field “Add it” says %q, want that nothing was added because of 95", p.says.text)
		}
		p.Do("set|bay-reamers-diameter|9.5")
		p.Do("set|bay-reamers-stock|1.5")
		if p.Do("bay-add"); facts(t, p) != before || !strings.Contains(p.says.text, "whole") {
			t.Errorf("with 1.5 in stock “Add it” says %q, want whole pieces", p.says.text)
		}
		p.path = home + "/record"
		p.Do("set|implant-kind|nail")
		p.Do("set|implant-diameter|11")
		p.Do("set|implant-length|320")
		p.Do("set|implant-length|3200")
		p.Do("implant-add")
		if c, _ := p.s.Case(); len(c.Implants) != 0 || !strings.Contains(p.says.text, "Nothing was recorded") {
			t.Errorf("with 3200 in the field “Record it” says %q and holds %v", p.says.text, c.Implants)
		}
		p.Do("set|implant-length|320")
		if p.Do("implant-add"); p.says.do != "undo" {
			t.Errorf("with 320 again “Record it” says %q", p.says.text)
		}
		synctest.Wait()
	})
}

// Every kind of part can be added to the shelf by what its form asks for, and
// taken back.
func TestAddEveryKindOfPart(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, _ := casePage(t)
		like := p.s.Shelf().Nails[0].ID
		for kind, typed := range map[string][][2]string{
			"nails":          {{"like", like}, {"side", "either"}, {"diameter", "13"}, {"length", "333"}, {"stock", "2"}},
			"head-screws":    {{"diameter", "6.5"}, {"length", "133"}, {"stock", "2"}},
			"locking-screws": {{"diameter", "5"}, {"length", "33"}, {"stock", "2"}},
			"end-caps":       {{"height", "33"}, {"stock", "2"}},
			"reamers":        {{"diameter", "13.25"}, {"stock", "2"}},
			"tools":          {{"kind", "parallel-sleeve"}, {"offsets", "−6; 6,5"}, {"stock", "2"}},
			"rods":           {{"kind", "guide-rod"}, {"diameter", "2.9"}, {"length", "933"}, {"stock", "2"}},
		} {
			p.path = "/shelf/" + kind
			at := slices.IndexFunc(bays(), func(b bay) bool { return b.key == kind })
			lines := func() []line { s := cloneShelf(p.s.Shelf()); return bays()[at].lines(&s) }
			before := len(lines())
			for _, kv := range typed {
				p.Do("set|bay-" + kind + "-" + kv[0] + "|" + kv[1])
			}
			p.Do("bay-add")
			synctest.Wait()
			if got := lines(); len(got) != before+1 || *got[before].stock != 2 {
				t.Errorf("%s: %d parts after %d, the screen says %q", kind, len(got), before, p.says.text)
				continue
			}
			p.Do("shelf-undo")
			synctest.Wait()
			if got := len(lines()); got != before {
				t.Errorf("%s: %d parts after Undo, want %d", kind, got, before)
			}
		}
	})
}

// A shelf file with a fault names row and column, and the shelf stays.
func TestBrokenShelfFileChangesNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, _ := casePage(t)
		p.path = "/shelf"
		before := facts(t, p)
		lines := bytes.Split(implant.WriteCSV(implant.Teaching()), []byte("\n"))
		n := slices.IndexFunc(lines, func(l []byte) bool { return bytes.HasPrefix(l, []byte("reamer")) })
		for _, typed := range []string{"NaN", "1e308", "-9", "ten"} {
			broken := slices.Clone(lines)
			broken[n] = replaceNumber(lines[n], typed)
			p.importShelf("shelf.csv", bytes.Join(broken, []byte("\n")))
			synctest.Wait()
			if facts(t, p) != before || !strings.Contains(p.says.text, "The shelf is unchanged") || !strings.Contains(p.says.text, "diameter_mm") {
				t.Errorf("a reamer of %s: the screen says %q, want the column and that nothing changed", typed, p.says.text)
			}
		}
	})
}

// replaceNumber puts another number in the place of the first of a CSV line.
func replaceNumber(l []byte, by string) []byte {
	cells := strings.Split(string(l), ",")
	for i, c := range cells {
		if _, err := units.ParseNumber(c, 0.1, 1e6, ""); err == nil {
			cells[i] = by
			break
		}
	}
	return []byte(strings.Join(cells, ","))
}
