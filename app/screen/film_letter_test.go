package screen

import (
	"strings"
	"testing"

	"isthmus/app/viewer"
	"isthmus/core/anatomy"
	"isthmus/core/record"
)

// A letter that contradicts the side stops the plan, a letter that reads the
// wrong way round is shouted until the view is turned over, and the same
// answer again takes it back.
func TestLetterOnTheFilm(t *testing.T) {
	fp, s := filmOnScreen(t)
	if err := s.Do("side", func(c *record.Case) error { c.Side = anatomy.Left; return nil }); err != nil {
		t.Fatal(err)
	}
	fp.act("view|ap")
	fp.act("bone|injured")
	fp.act("letter|right")
	if got := film(t, s); got.Letter != record.LetterRight || got.LetterReads != record.NotAsked {
		t.Fatalf("%+v", got)
	}
	stops := func() (out []string) {
		for _, p := range s.Plan().Problems {
			if strings.HasPrefix(p.Code, "letter") {
				out = append(out, p.Code)
			}
		}
		return out
	}
	if got := stops(); len(got) != 1 || got[0] != "letter-contradiction" {
		t.Errorf("problems %v", got)
	}
	fp.read()
	if n := len(fp.letterShouts(fp.now())); n != 1 {
		t.Errorf("%d shouts, want one: the wrong side", n)
	}
	fp.act("letter|left")
	fp.act("letter-reads|no")
	fp.read()
	if n := len(fp.letterShouts(fp.now())); n != 1 || len(stops()) != 1 || stops()[0] != "letter-mirrored" {
		t.Errorf("%d shouts, problems %v, want the flipped film", n, stops())
	}
	fp.turnView(func(v viewer.View) viewer.View { return v.Mirror() })
	if n := len(fp.letterShouts(fp.now())); n != 0 {
		t.Errorf("%d shouts over a view that is turned over, want none", n)
	}
	fp.act("letter|left")
	if got := film(t, s); got.Letter != record.NoLetterSaid || got.LetterReads != record.NotAsked {
		t.Errorf("taken back: %+v", got)
	}
	fp.act("undo")
	if got := film(t, s); got.Letter != record.LetterLeft || got.LetterReads != record.No {
		t.Errorf("undone: %+v", got)
	}
}
