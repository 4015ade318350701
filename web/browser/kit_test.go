package browser

import (
	"path/filepath"
	"strings"
	"testing"

	"isthmus/web/build"
)

// The list for the theatre is handed over as plain text and printed, each by
// one tap, and the question that is still asked is found by one tap.
func TestTheListAndTheNextQuestion(t *testing.T) {
	host := site(t)
	root, err := build.Root()
	must(t, err)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	started2(t, p)
	must(t, p.Upload(`input[data-file="case-file"]`, filepath.Join(root, "testdata/versions/v1/neck-and-shaft.isthmus")), p.Wait(`document.querySelector(".sheet")`))
	home := eval[string](t, p, `location.pathname`)
	goTo(t, p, place{path: home + "/kit", title: "Kit"})
	name, text, err := p.Download(func() error { return p.TapOn(`[data-do="kit-share"]`) })
	must(t, err)
	if !strings.HasSuffix(name, ".txt") {
		t.Errorf("the list is called %s", name)
	}
	for _, want := range []string{"FOR THE THEATRE", "[ ] Nail 11 × 400 mm", "INVENTED TEACHING SET", "This is a calculation aid."} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the list does not say %q:\n%s", want, text)
		}
	}
	eval[bool](t, p, `(window.print = () => { window.printed = true }, true)`)
	must(t, p.TapOn(`[data-do="kit-print"]`), p.Wait(`window.printed`))

	goTo(t, p, place{path: home + "/injury", title: "Injury"})
	must(t, p.TapOn(`[data-do="set|infection|no"]`), p.Wait(`document.querySelector('[data-do="find|at-infection"]')`)) // the same again takes it back
	eval[bool](t, p, `(scrollTo(0, 0), true)`)
	must(t, p.TapOn(`[data-do="find|at-infection"]`),
		p.Wait(`(() => { const r = document.getElementById("at-infection").getBoundingClientRect(); return scrollY > 0 && r.top > -1 && r.top < innerHeight / 2 })()`))
	quiet(t, p)
}
