package state

import (
	"context"
	"errors"
	"fmt"

	"isthmus/core/record"
)

// A Window says which values of a film become black and white. It comes from
// Opened.Windows and goes back as it is, or with another centre and width.
type Window struct {
	Name   string  `json:"name"`
	Centre float64 `json:"centre"`
	Width  float64 `json:"width"`
	Shape  string  `json:"shape"`
	Invert bool    `json:"invert"` // light and dark turned over, for the eye
	// Inverted says that the film shows low values bright by itself; it comes
	// from Opened.Windows and is not asked for.
	Inverted bool `json:"inverted"`
}

// A Viewer is a Decoder that keeps the film it opened last, so that another
// window, or a search, need not open it again. Keys are the caller's names of
// what was opened.
type Viewer interface {
	Decoder
	// Show opens a film as Open does and keeps it under a key; early, if not
	// nil, gets a coarse picture of a large film before. A film that is kept
	// under the key already is only drawn anew.
	Show(ctx context.Context, key string, file []byte, frame int, progress func(done float64), early func(bitmap any)) (Opened, error)
	// Window returns the kept film's picture in another window.
	Window(ctx context.Context, key string, w Window) (bitmap any, err error)
	// Find looks for something on the samples of the kept film. Ask and
	// answer are JSON; wasm/film describes them.
	Find(ctx context.Context, key, what string, ask []byte, progress func(done float64)) ([]byte, error)
	// Release lets the kept film go.
	Release()
}

// A NotKeptError reports that the film is not open any more; opening it again
// helps.
type NotKeptError struct{}

// Code names the fault for app/text.
func (e *NotKeptError) Code() string { return "film-not-kept" }

func (e *NotKeptError) Error() string {
	return "film: the film is not open in the film reader any more: open it again"
}

// A NoViewerError reports that films are only shown here.
type NoViewerError struct{}

// Code names the fault for app/text.
func (e *NoViewerError) Code() string { return "state-no-viewer" }

func (e *NoViewerError) Error() string {
	return "state: films can only be shown here, not searched: mark it by hand"
}

// A MarkedFilmError reports that a film carries marks, which belong to the
// frame that they were made on.
type MarkedFilmError struct{ Index int }

// Code names the fault for app/text.
func (e *MarkedFilmError) Code() string { return "state-marked-film" }

func (e *MarkedFilmError) Error() string {
	return fmt.Sprintf("state: film %d has marks on the frame that was chosen before: remove them first, or open the file as a film of its own", e.Index+1)
}

func filmKey(sum string, frame int) string { return fmt.Sprintf("%s/%d", sum, frame) }

// show opens a film, and keeps it where that can be done.
func (s *Session) show(ctx context.Context, sum string, file []byte, frame int, progress func(float64), early func(any)) (Opened, error) {
	if v, ok := s.w.Decoder.(Viewer); ok {
		return v.Show(ctx, filmKey(sum, frame), file, frame, progress, early)
	}
	return s.w.Decoder.Open(ctx, file, frame, progress)
}

// ShowFrame opens any frame of a film of the open case, to be looked at: the
// case stays as it is. A frame under 0 is the one that the case has chosen.
// Early, if not nil, gets a coarse picture of a large film before.
func (s *Session) ShowFrame(ctx context.Context, index, frame int, progress func(float64), early func(bitmap any)) (Opened, error) {
	if progress == nil {
		progress = func(float64) {}
	}
	f, file, err := s.filmAt(ctx, index)
	if err != nil {
		return Opened{}, err
	}
	if frame < 0 {
		frame = f.Frame
	}
	return s.show(ctx, f.SHA256, file, frame, progress, early)
}

// ChooseFrame makes another frame the one that is measured: o is what
// ShowFrame opened. It refuses a film that carries points, evidence or corners
// of a photo, as they belong to the frame before.
func (s *Session) ChooseFrame(index int, o Opened) error {
	return s.Do("choose a frame", func(c *record.Case) error {
		if index < 0 || index >= len(c.Films) {
			return &NoFilmError{Index: index, Films: len(c.Films)}
		}
		f := &c.Films[index]
		if f.Frame == o.Frame {
			return nil
		}
		if len(f.Points) > 0 || len(f.Evidence) > 0 || f.Photo != nil {
			return &MarkedFilmError{Index: index}
		}
		f.Frame, f.Width, f.Height, f.Tags = o.Frame, o.Width, o.Height, o.Tags
		return nil
	})
}

// CanFind reports whether films can be searched and windowed here.
func (s *Session) CanFind() bool {
	_, ok := s.w.Decoder.(Viewer)
	return ok
}

// Window returns the picture of a film of the open case in another window. A
// frame under 0 is the one that the case has chosen.
func (s *Session) Window(ctx context.Context, index, frame int, w Window) (bitmap any, err error) {
	err = s.onKept(ctx, index, frame, nil, func(v Viewer, key string) error {
		bitmap, err = v.Window(ctx, key, w)
		return err
	})
	return bitmap, err
}

// Find looks for something on the chosen frame of a film of the open case:
// never on what is drawn on the screen. Ask and answer are JSON; wasm/film
// describes them. What is looked for refuses with a code that begins "find-".
func (s *Session) Find(ctx context.Context, index int, what string, ask []byte, progress func(float64)) (seen []byte, err error) {
	if progress == nil {
		progress = func(float64) {}
	}
	err = s.onKept(ctx, index, -1, progress, func(v Viewer, key string) error {
		seen, err = v.Find(ctx, key, what, ask, progress)
		return err
	})
	return seen, err
}

// onKept does something with a film that is kept, and opens it first when it
// is not.
func (s *Session) onKept(ctx context.Context, index, frame int, progress func(float64), do func(v Viewer, key string) error) error {
	v, ok := s.w.Decoder.(Viewer)
	if !ok {
		return &NoViewerError{}
	}
	s.mu.Lock()
	d := s.open
	if d == nil || index < 0 || index >= len(d.c.Films) {
		n := 0
		if d != nil {
			n = len(d.c.Films)
		}
		s.mu.Unlock()
		if d == nil {
			return &NoCaseError{}
		}
		return &NoFilmError{Index: index, Films: n}
	}
	f := d.c.Films[index]
	s.mu.Unlock()
	if frame < 0 {
		frame = f.Frame
	}
	key := filmKey(f.SHA256, frame)
	err := do(v, key)
	var gone *NotKeptError
	if !errors.As(err, &gone) {
		return err
	}
	file, err := s.bytesOf(ctx, d, f.SHA256)
	if err != nil {
		return err
	}
	if progress == nil {
		progress = func(float64) {}
	}
	if _, err := v.Show(ctx, key, file, frame, progress, nil); err != nil {
		return err
	}
	return do(v, key)
}

// ReleaseFilm gives back the memory of the film that was opened last, when no
// film is on the screen any more.
func (s *Session) ReleaseFilm() {
	if v, ok := s.w.Decoder.(Viewer); ok {
		v.Release()
	}
}
