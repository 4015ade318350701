//go:build js && wasm

package files

import (
	"context"
	"encoding/json"
	"syscall/js"

	"isthmus/app/state"
)

// Draw has the worker draw a film of a practice case.
func (Device) Draw(ctx context.Context, practice string, film int, progress func(float64)) (d state.Drawn, err error) {
	msg := message("draw")
	msg.Set("practice", practice)
	msg.Set("film", film)
	err = films.practise(ctx, request{msg: msg, progress: progress, take: func(m js.Value) error {
		d = state.Drawn{Kind: m.Get("kind").String(), Width: m.Get("width").Int(), Height: m.Get("height").Int()}
		if t := m.Get("tags"); t.Type() != js.TypeString || json.Unmarshal([]byte(t.String()), &d.Tags) != nil {
			return &FilmError{"film-tags", "film: what the header says about size could not be read: reload the page and try again"}
		}
		d.File = make([]byte, m.Get("bytes").Length())
		js.CopyBytesToGo(d.File, m.Get("bytes"))
		letGo(m.Get("bytes"))
		return nil
	}})
	return d, err
}

// Truth asks the worker what is true of a practice case.
func (Device) Truth(ctx context.Context, practice string) (told []byte, err error) {
	msg := message("truth")
	msg.Set("practice", practice)
	err = films.practise(ctx, request{msg: msg, take: func(m js.Value) error {
		told = []byte(m.Get("truth").String())
		return nil
	}})
	return told, err
}

// practise asks something of which no film need be kept. A worker that keeps
// one is ended for a drawing, which needs the memory.
func (r *reader) practise(ctx context.Context, q request) error {
	leave, err := r.tryEnter(ctx)
	if err != nil {
		return err
	}
	defer leave()
	if r.died() || q.progress != nil && r.key != "" {
		r.stop()
	}
	return guarded("film", func() error {
		err := r.ask(ctx, patience, q)
		r.used = true // the next film gets a fresh one
		return err
	})
}
