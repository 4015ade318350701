package screen

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/core/source"
)

// shownAs returns a screen as HTML.
func shownAs(p *Page) string {
	var out strings.Builder
	for _, ui := range p.view().body {
		if ui != nil {
			out.WriteString(app.HTMLString(ui))
		}
	}
	return out.String()
}

// Every method in use opens on a tap and shows its formula, inputs, example and
// sources; one that no screen uses is not shown.
func TestMethodsScreen(t *testing.T) {
	p, _ := sizesPage(t)
	p.path = "/methods"
	tried := 0
	for _, m := range source.Methods() {
		closed := shownAs(p)
		line := `data-do="why|method-` + m.Key + `"`
		if strings.Contains(closed, line) == m.Idle {
			t.Errorf("%s: idle %v, shown %v", m.Key, m.Idle, !m.Idle)
			continue
		}
		if m.Idle {
			continue
		}
		tried++
		p.Do("why|method-" + m.Key)
		open := shownAs(p)
		if strings.Count(open, `class="formula"`) != 1 || strings.Count(open, "<li>") != len(m.Inputs)+len(m.Sources) || !strings.Contains(open, "Example") {
			t.Errorf("%s does not show its formula, %d inputs, its example and %d sources: %s", m.Key, len(m.Inputs), len(m.Sources), open)
		}
		p.Do("why|method-" + m.Key)
	}
	if tried < 20 {
		t.Errorf("only %d methods are shown", tried)
	}
}

// The words behind the sources are explained where the sources are listed.
func TestSeenWordsAreExplained(t *testing.T) {
	p, _ := sizesPage(t)
	p.path = "/about"
	about := shownAs(p)
	p.path = "/methods"
	p.Do("why|methods-seen")
	for name, html := range map[string]string{"about": about, "methods": shownAs(p)} {
		for _, w := range []source.Seen{source.Read, source.Abstract, source.Derived, source.Practice, source.Memory} {
			if !strings.Contains(html, ">"+string(w)+"</b>") && !strings.Contains(html, ">\n"+string(w)) {
				t.Errorf("%s does not explain %q", name, w)
			}
		}
	}
	if !strings.Contains(about, `href="/methods"`) {
		t.Error("About does not lead to the methods")
	}
}
