//go:build !js

package screen

import (
	"context"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/state"
)

// The library's client for tests needs no browser here, and a whole one under
// WebAssembly: there the tests in Chromium draw these screens.

// Every part of the page can be drawn, with and without a film on it.
func TestFilmPageDraws(t *testing.T) {
	ctx := context.Background()
	s := state.New(state.World{Store: state.NewMemory(), Decoder: filmDecoder{}, Clock: &filmClock{}})
	if _, err := s.NewCase(ctx, "K-07"); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.AddFilm(ctx, []byte("a film"), nil); err != nil {
		t.Fatal(err)
	}
	fp := newFilmPage(s, 0).(*filmPage)
	fp.find = (&worker{}).find
	d := app.NewClientTester(fp)
	defer d.Close()
	for _, k := range []string{"mode|about", "view|ap", "mode|scale", "add|ball", "pad|true", "key|close", "at-bone|no", "piece|", "add|distances", "add|assumed", "piece|", "piece|", "add|two-markers", "front|front", "piece|", "add|known-part", "pad|true", "key|close", "piece|",
		"mode|points", "groups", "group|films", "next", "group|canal", "find|shaft", "find-stop", "mode|nail", "nail-move|ArrowUp", "beside|-1", "mode|look", "window|0", "mirror"} {
		fp.act(k)
		fp.Update()
		d.Consume()
		if strings.Contains(fp.says, "failed") {
			t.Errorf("%s: %s", k, fp.says)
		}
	}
	if err := app.TestMatch(fp, app.TestUIDescriptor{Path: app.TestPath(0), Expected: app.Div().Class("film", "mode-look").OnClick(fp.onTap)}); err != nil {
		t.Error(err)
	}
}
