//go:build !js

package screen

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/core/implant"
)

// Every screen that names a part to ask for says when the set is invented,
// and says nothing of it for a shelf that a hospital entered.
func TestInventedSizesSaySo(t *testing.T) {
	p, home := casePage(t)
	for _, teaching := range []bool{true, false} {
		s := implant.Teaching()
		s.Teaching = teaching
		if err := p.s.SetShelf(t.Context(), s); err != nil {
			t.Fatal(err)
		}
		for _, path := range []string{"/sizes/head", "/sizes/nail", home, home + "/nail", home + "/head", home + "/distal", home + "/kit"} {
			p.path = path
			html := app.HTMLString(app.Div().Body(p.view().body...))
			if !strings.Contains(html, `class="part`) && path != home {
				t.Fatalf("%s names no part: this test looks in the wrong place", path)
			}
			if got := strings.Contains(html, "Invented teaching set"); got != teaching {
				t.Errorf("%s with a teaching set %v: said %v", path, teaching, got)
			}
		}
	}
}
