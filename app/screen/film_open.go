package screen

import (
	"context"
	"fmt"

	"isthmus/app/state"
	"isthmus/app/text"
	"isthmus/app/viewer"
)

// An opening is a film on its way to the screen.
type opening struct {
	key    string
	done   float64
	cancel context.CancelFunc
	ready  bool
	wrong  string
}

// open decodes the film away from the screen. Only the last opening counts.
func (fp *filmPage) open() {
	if fp.film != nil {
		fp.film.cancel()
	}
	c, cancel := context.WithCancel(context.Background())
	op := &opening{key: fp.Key, cancel: cancel}
	fp.film = op
	if fp.stage != nil {
		fp.stage.picture(nil)
	}
	mine := func(fn func()) {
		fp.later(func() {
			if fp.film == op {
				fn()
			}
		})
	}
	go func() {
		defer func() {
			if r := recover(); r != nil {
				mine(func() { op.wrong = broken(r) })
			}
		}()
		got, err := fp.Session.ShowFilm(c, fp.Index, func(done float64) { mine(func() { op.done = done }) })
		fp.later(func() {
			if fp.film != op { // another film was asked for meanwhile
				fp.stage.drop(got.Bitmap)
				return
			}
			fp.opened(op, got, err)
		})
	}()
}

func (fp *filmPage) opened(op *opening, got state.Opened, err error) {
	f := fp.now()
	switch {
	case err != nil:
		op.wrong = text.Error(err)
		return
	case got.Width != f.Width || got.Height != f.Height:
		op.wrong = fmt.Sprintf("The picture has %d × %d pixels and the case says %d × %d: its points would lie in the wrong places. Remove this film and open the file again.", got.Width, got.Height, f.Width, f.Height)
		return
	}
	op.ready, fp.found = true, got
	if fp.stage != nil {
		fp.stage.picture(got.Bitmap)
	}
	fp.view = viewer.Fit(fp.w, fp.h, filmSize(f))
}

// stop gives up opening.
func (fp *filmPage) stop() {
	fp.film.cancel()
	fp.film = &opening{key: fp.Key, cancel: func() {}, wrong: "Opening was stopped. The film is still in the case."}
}
