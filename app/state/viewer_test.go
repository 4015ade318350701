package state_test

import (
	"context"
	"errors"
	"testing"

	"isthmus/app/state"
	"isthmus/core/record"
)

// eye is a decoder that keeps one film.
type eye struct {
	decoder
	key   string
	shows int
	deaf  error
}

func (e *eye) Show(ctx context.Context, key string, file []byte, frame int, progress func(float64), early func(any)) (state.Opened, error) {
	o, err := e.Open(ctx, file, frame, progress)
	if err != nil {
		return o, err
	}
	if early != nil {
		early("coarse")
	}
	e.key, e.shows = key, e.shows+1
	o.Frame = frame
	return o, nil
}

func (e *eye) Window(_ context.Context, key string, w state.Window) (any, error) {
	if key != e.key {
		return nil, &state.NotKeptError{}
	}
	return w.Name, e.deaf
}

func (e *eye) Find(_ context.Context, key, what string, ask []byte, progress func(float64)) ([]byte, error) {
	if key != e.key {
		return nil, &state.NotKeptError{}
	}
	progress(0.5)
	return append([]byte(what+" "), ask...), e.deaf
}

func (e *eye) Release() { e.key = "" }

func looking(t *testing.T) (*state.Session, *eye) {
	t.Helper()
	e := &eye{}
	w := world(state.NewMemory())
	w.Decoder = e
	s := state.New(w)
	no(t, s.Start(bg))
	_, err := s.NewCase(bg, "one")
	no(t, err)
	return s, e
}

// Windows and searches use the film that is kept and open it again when it is
// not; with nothing to look at they say so.
func TestLookAtFilm(t *testing.T) {
	s, e := looking(t)
	if !s.CanFind() {
		t.Fatal("nothing to look with")
	}
	_, err := s.Find(bg, 0, "ball", nil, nil)
	want[*state.NoFilmError](t, "no film", err)
	for _, film := range []string{"film one", "film two"} {
		_, _, err := s.AddFilm(bg, []byte(film), nil)
		no(t, err)
	}
	shows := e.shows
	done := 0.0
	seen, err := s.Find(bg, 1, "ball", []byte("{}"), func(d float64) { done = d })
	if err != nil || string(seen) != "ball {}" || done != 0.5 || e.shows != shows {
		t.Errorf("the film just added: %s, %v, progress %v, opened %d times more", seen, err, done, e.shows-shows)
	}
	b, err := s.Window(bg, 0, -1, state.Window{Name: "bone"})
	if err != nil || b != "bone" || e.shows != shows+1 {
		t.Errorf("another film: %v, %v, opened %d times more", b, err, e.shows-shows)
	}
	s.ReleaseFilm()
	if _, err := s.Window(bg, 0, 2, state.Window{}); err != nil || e.key[len(e.key)-2:] != "/2" {
		t.Errorf("another frame: %v, kept %s", err, e.key)
	}
	e.deaf = errBroken
	if _, err := s.Find(bg, 0, "ball", nil, nil); !errors.Is(err, errBroken) {
		t.Errorf("a refusal: %v", err)
	}
	blind := started(t, state.NewMemory())
	_, err = blind.Window(bg, 0, -1, state.Window{})
	want[*state.NoViewerError](t, "no viewer", err)
	blind.ReleaseFilm()
}

// A frame is looked at without touching the case, and chosen only while the
// film carries no marks.
func TestChooseFrame(t *testing.T) {
	s, _ := looking(t)
	_, _, err := s.AddFilm(bg, []byte("film one"), nil)
	no(t, err)
	early := any(nil)
	o, err := s.ShowFrame(bg, 0, 2, nil, func(b any) { early = b })
	if err != nil || o.Frame != 2 || early != "coarse" {
		t.Fatalf("%+v, %v, %v", o, err, early)
	}
	if c, _ := s.Case(); c.Films[0].Frame != 0 {
		t.Error("looking changed the case")
	}
	no(t, s.ChooseFrame(0, o))
	if c, _ := s.Case(); c.Films[0].Frame != 2 {
		t.Error("the frame is not chosen")
	}
	if o, err := s.ShowFilm(bg, 0, nil); err != nil || o.Frame != 2 {
		t.Errorf("the film shows frame %d, %v", o.Frame, err)
	}
	no(t, s.Do("mark", func(c *record.Case) error {
		c.Films[0].Points = []record.Point{{Name: "trochanter-tip", Slip: 1}}
		return nil
	}))
	o.Frame = 1
	want[*state.MarkedFilmError](t, "with marks", s.ChooseFrame(0, o))
	o.Frame = 2
	no(t, s.ChooseFrame(0, o)) // nothing to change
	want[*state.NoFilmError](t, "no such film", s.ChooseFrame(1, o))
}
