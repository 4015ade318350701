package browser

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"

	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/web/build"
)

// told waits for a sentence at the bottom of the screen and returns it.
func told(t *testing.T, p *Phone) string {
	t.Helper()
	must(t, p.Wait(`document.querySelector(".says[role=status] span")`))
	s := eval[string](t, p, `document.querySelector(".says[role=status] span").innerText`)
	must(t, p.TapOn(`[data-do="hush"]`), p.Wait(`!document.querySelector(".says[role=status]")`))
	return s
}

// holds fails the test unless a sentence has every one of the words.
func holds(t *testing.T, what, sentence string, words ...string) {
	t.Helper()
	for _, w := range words {
		if !strings.Contains(strings.ReplaceAll(sentence, "\u00a0", " "), w) {
			t.Errorf("%s: the screen says %q, want %q in it", what, sentence, w)
		}
	}
}

func scratch(t *testing.T, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	must(t, os.WriteFile(path, data, 0o600))
	return path
}

// What cannot be a film ends in a sentence that says what to do, and the case
// stays as it was.
func TestBrokenFilms(t *testing.T) {
	host := site(t)
	root, err := build.Root()
	must(t, err)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	started2(t, p)
	newCase(t, p)
	toCase(t, p, "/films")
	broken := func(name string) string { return filepath.Join(root, "testdata", "broken", "films", name) }
	for _, tt := range []struct {
		name, file string
		words      []string
	}{
		{"no image", scratch(t, "letter.txt", []byte("Dear colleague, please find the film enclosed.")), []string{"neither a DICOM file nor a JPEG or PNG picture", "choose"}},
		{"DICOM cut in the header", broken("cut_in_header.dcm"), []string{"again"}},
		{"DICOM cut in the pixels", broken("cut_in_pixels.dcm"), []string{"again"}},
		{"picture of 40,000 × 40,000", broken("huge.png"), []string{"smaller"}},
		{"picture of 0 × 0", broken("zero.png"), nil},
		{"DICOM of 0 rows", broken("zero_rows.dcm"), []string{"rows"}},
		{"DICOM of 40,000 × 40,000", broken("huge.dcm"), []string{"smaller"}},
	} {
		if _, err := os.Stat(tt.file); err != nil {
			t.Fatalf("%s: %v", tt.name, err)
		}
		must(t, p.Upload(`input[data-file="film-file"]`, tt.file))
		s := told(t, p)
		holds(t, tt.name, s, tt.words...)
		if len(s) < 30 || !strings.Contains(s, ":") {
			t.Errorf("%s: the screen says only %q", tt.name, s)
		}
		if got := eval[string](t, p, `document.querySelector("main").innerText`); !strings.Contains(got, "No film yet") {
			t.Errorf("%s: the case has changed: %s", tt.name, got)
		}
	}
}

// started2 waits for a screen that has no answer of its own.
func started2(t *testing.T, p *Phone) {
	t.Helper()
	running(t, p)
	must(t, p.Wait(`document.querySelector(".acts")`))
}

// A case file of a newer version and one with one byte turned are refused, and
// nothing is added to the list.
func TestBrokenCaseFiles(t *testing.T) {
	host := site(t)
	c := record.NewCase("0123456789abcdef0123456789abcdef", "2026-11-25T03:00:00Z")
	c.Label = "invented"
	good, err := record.Pack(record.File{Case: c, Shelf: implant.WriteJSON(implant.Teaching())})
	must(t, err)
	turned := bytes.Clone(good)
	turned[len(turned)-40] ^= 1
	newer := bytes.Replace(good, []byte("isthmus-file 1\n"), []byte("isthmus-file 2\n"), 1)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	started2(t, p)
	for _, tt := range []struct {
		name  string
		file  []byte
		words []string
	}{
		{"one byte turned", turned, []string{"damaged", "Nothing here was changed"}},
		{"newer version", newer, []string{"newer", "update", "Nothing here was changed"}},
		{"cut short", good[:len(good)/2], []string{"again", "Nothing here was changed"}},
	} {
		must(t, p.Upload(`input[data-file="case-file"]`, scratch(t, "case.isthmus", tt.file)))
		holds(t, tt.name, told(t, p), tt.words...)
		if n := eval[int](t, p, `document.querySelectorAll(".list a").length`); n != 0 {
			t.Errorf("%s: %d cases on the list, want none", tt.name, n)
		}
	}
	must(t, p.Upload(`input[data-file="case-file"]`, scratch(t, "case.isthmus", good)), p.Wait(`document.querySelector(".sheet")`))
}

// A shelf with a fault names row and column and leaves the shelf as it is.
func TestBrokenShelf(t *testing.T) {
	host := site(t)
	root, err := build.Root()
	must(t, err)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/shelf")))
	started2(t, p)
	before := eval[string](t, p, `document.querySelector(".list").innerText`)
	must(t, p.Upload(`input[data-file="shelf-file"]`, filepath.Join(root, "testdata", "broken", "shelf", "diameter-absurd.csv")))
	holds(t, "absurd diameter", told(t, p), "The shelf is unchanged", "row", "diameter_mm")
	if after := eval[string](t, p, `document.querySelector(".list").innerText`); after != before {
		t.Errorf("the shelf changed from %q to %q", before, after)
	}
	small, _, _ := bytes.Cut(implant.WriteCSV(implant.Teaching()), []byte("\nnail"))
	must(t, p.Upload(`input[data-file="shelf-file"]`, scratch(t, "shelf.csv", append(small, '\n'))))
	holds(t, "a shelf without nails", told(t, p), "read")
	must(t, p.Visit(host.URL("/sizes/nail")), p.Wait(`document.querySelector("[data-row='nail.ruler'], [data-row='nail.rod']")`))
	must(t, p.Wait(`document.querySelector("[data-problem='nail-none']")`))
}

// editUntil answers the question about the infection again and again, and then
// takes the left side, until the corner of the screen says what is awaited.
func editUntil(t *testing.T, p *Phone, corner string) {
	t.Helper()
	for range 60 {
		answer := "no" // a second tap on an answer takes it back, so never on the one that is chosen
		if eval[bool](t, p, `document.querySelector('[data-do="set|infection|no"]').getAttribute("aria-pressed") === "true"`) {
			answer = "unsure"
		}
		choose(t, p, "infection", answer)
		if eval[bool](t, p, `document.querySelector('[data-do="set|side|left"]').getAttribute("aria-pressed") === "false"`) {
			choose(t, p, "side", "left")
		}
		time.Sleep(time.Second)
		if eval[string](t, p, `document.querySelector(".top .aside").innerText`) == corner {
			return
		}
	}
	t.Fatalf("the corner of the screen never says %q", corner)
}

// With the disk full the screen says NOT SAVED and what to do, the edit stays
// on the screen and can be exported, and with room again it is saved.
func TestDiskFull(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Private: true, Slow: 1}) // a lasting profile ignores the quota
	must(t, p.Visit(host.URL("/cases")))
	started2(t, p)
	newCase(t, p)
	must(t, p.Wait(`document.querySelector(".top .aside").innerText.includes("saved")`))
	quota := func(bytes *float64) {
		t.Helper()
		ctx, cancel := p.limited()
		defer cancel()
		_, err := chromedp.Call(ctx, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: strings.TrimSuffix(host.URL(""), "/"), QuotaSize: bytes})
		must(t, err)
	}
	quota(new(1.0))
	toCase(t, p, "/injury")
	// The browser asks for its room anew only after half a minute.
	editUntil(t, p, "NOT SAVED")
	holds(t, "disk full", eval[string](t, p, `document.querySelector(".stop[role=alert]").innerText`), "no room left", "export the case")
	if !eval[bool](t, p, `document.querySelector('[data-do="set|side|left"]').getAttribute("aria-pressed") === "true"`) {
		t.Error("the answer that could not be saved is gone from the screen")
	}
	toCase(t, p, "")
	_, data, err := p.Download(func() error { return p.TapText("Export without films") })
	must(t, err)
	if f, err := record.Unpack(data); err != nil || f.Case.Side != "left" {
		t.Errorf("the export holds side %q (%v), want the edit that was not saved", f.Case.Side, err)
	}
	quota(nil)
	toCase(t, p, "/injury")
	choose(t, p, "level", "mid-shaft")
	editUntil(t, p, "saved")
	must(t, p.Reload())
	must(t, p.Wait(fmt.Sprintf(`document.querySelector('%s')?.getAttribute("aria-pressed") === "true"`, `[data-do="set|side|left"]`)))
	must(t, p.Wait(fmt.Sprintf(`document.querySelector('%s')?.getAttribute("aria-pressed") === "true"`, `[data-do="set|level|mid-shaft"]`)))
}
