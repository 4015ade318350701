//go:build js && wasm

package store

import (
	"context"
	"syscall/js"

	"isthmus/app/state"
)

// Persist implements state.Store. A browser that cannot be asked has not
// promised anything: false.
func (s *DB) Persist(ctx context.Context) (granted bool, err error) {
	if err := ctx.Err(); err != nil {
		return false, err
	}
	ctx, cancel := context.WithTimeout(ctx, s.limit)
	defer cancel()
	var promise js.Value
	err = guard(func() error {
		if nav := js.Global().Get("navigator"); nav.Truthy() {
			if st := nav.Get("storage"); st.Truthy() && st.Get("persist").Truthy() {
				promise = st.Call("persist")
			}
		}
		return nil
	})
	if err != nil {
		return false, &state.UnavailableError{Cause: err}
	}
	if !promise.Truthy() {
		return false, nil
	}
	return settled(ctx, promise)
}

func settled(ctx context.Context, promise js.Value) (bool, error) {
	got := make(chan bool, 1)
	yes := js.FuncOf(func(_ js.Value, args []js.Value) any {
		got <- len(args) > 0 && args[0].Truthy()
		return nil
	})
	no := js.FuncOf(func(js.Value, []js.Value) any { got <- false; return nil })
	promise.Call("then", yes, no)
	select {
	case g := <-got:
		yes.Release()
		no.Release()
		return g, nil
	case <-ctx.Done(): // the promise may still call: the two stay
		return false, ctx.Err()
	}
}
