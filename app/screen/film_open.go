package screen

import (
	"context"
	"fmt"
	"strconv"

	"isthmus/app/state"
	"isthmus/app/text"
	"isthmus/app/viewer"
)

// An opening is a film on its way to the screen.
type opening struct {
	key    string
	done   float64
	cancel context.CancelFunc
	early  bool // a coarse picture is on the screen already
	ready  bool
	wrong  string
}

// open decodes the film away from the screen. Only the last opening counts; a
// coarse picture of a large film comes first.
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
	mine := fp.only(op)
	early := func(bitmap any) {
		fp.later(func() {
			if fp.film != op || op.ready {
				fp.stage.drop(bitmap)
				return
			}
			op.early = true
			fp.see(bitmap)
		})
	}
	go func() {
		defer fp.caught(op)
		got, err := fp.Session.ShowFrame(c, fp.Index, fp.other, func(done float64) { mine(func() { op.done = done }) }, early)
		fp.later(func() {
			if fp.film != op { // another film was asked for meanwhile
				fp.stage.drop(got.Bitmap)
				return
			}
			fp.opened(op, got, err)
		})
	}()
}

// only returns what runs something on the screen's thread while an opening is
// still the one that counts.
func (fp *filmPage) only(op *opening) func(func()) {
	return func(fn func()) {
		fp.later(func() {
			if fp.film == op {
				fn()
			}
		})
	}
}

func (fp *filmPage) caught(op *opening) {
	if r := recover(); r != nil {
		fp.only(op)(func() { op.wrong = broken(r) })
	}
}

// see puts a picture on the stage; the view stays where the person has it.
func (fp *filmPage) see(bitmap any) {
	fp.show(bitmap, plainTone)
	if !fp.view.Ok() {
		fp.view = viewer.Fit(fp.w, fp.h, filmSize(fp.now()))
	}
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
	op.ready, fp.found, fp.window = true, got, 0
	fp.see(got.Bitmap)
	fp.settleLight()
}

// stop gives up opening.
func (fp *filmPage) stop() {
	fp.film.cancel()
	fp.film = &opening{key: fp.Key, cancel: func() {}, wrong: "Opening was stopped. The film is still in the case."}
}

// frameActs show another frame of a file that has several, and take it.
func (fp *filmPage) frameActs() map[string]func(string) {
	return map[string]func(string){
		"frame": func(arg string) {
			at := fp.frameShown()
			if arg == "+" {
				at++
			} else {
				at--
			}
			if at < 0 || at >= fp.found.Frames {
				return
			}
			if fp.other = at; at == fp.now().Frame {
				fp.other = -1
			}
			fp.open()
		},
		"frame-take": func(string) {
			if fp.other < 0 || fp.film == nil || !fp.film.ready {
				return
			}
			fp.says = ""
			if err := fp.Session.ChooseFrame(fp.Index, fp.found); err != nil {
				fp.says = text.Error(err)
				return
			}
			fp.other, fp.made, fp.unmade = -1, fp.made+1, 0
			fp.read()
		},
		"window": func(arg string) {
			if i, err := strconv.Atoi(arg); err == nil && i >= 0 && i < len(fp.found.Windows) {
				fp.reWindow(i)
			}
		},
	}
}

// frameShown is the frame on the screen, from 0.
func (fp *filmPage) frameShown() int {
	if fp.other >= 0 {
		return fp.other
	}
	return fp.now().Frame
}
