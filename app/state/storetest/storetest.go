// Package storetest is the contract of state.Store as a test: every Store
// must pass Run, natively and in the browser.
package storetest

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"testing"

	"isthmus/app/state"
)

// Run runs the contract against stores made by open. Every call of open with
// the same t.Name() gives another handle on the same, at first empty, store.
func Run(t *testing.T, open func(t *testing.T) state.Store) {
	for _, tt := range []struct {
		name string
		run  func(t *testing.T, s, again state.Store)
	}{
		{"an empty store", empty},
		{"save and load a case", saveLoad},
		{"the list has the latest edit first", listOrder},
		{"delete and bring back", deleteUndelete},
		{"a film is kept once per hash", filmOnce},
		{"sweep", sweep},
		{"settings", settings},
		{"what is missing is said", missing},
		{"copies in, copies out", copies},
		{"replace only what was read", replace},
		{"a cancelled call wrote all or nothing", cancelled},
		{"two handles see one store", twoHandles},
		{"a film of 20 MB", large},
		{"case and films in one piece", together},
		{"asking to persist answers", persist},
	} {
		t.Run(tt.name, func(t *testing.T) { tt.run(t, open(t), open(t)) })
	}
}

var bg = context.Background()

const (
	idA = "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"
	idB = "bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb"
	idC = "cccccccccccccccccccccccccccccccc"
)

func brief(id, edited string, films ...string) state.Brief {
	return state.Brief{ID: id, Label: "theatre 2, Tuesday", Side: "left", Edited: edited, Line: "ä ± 1", Films: films}
}

func hash(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

func no(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func empty(t *testing.T, s, _ state.Store) {
	list, err := s.Cases(bg)
	no(t, err)
	if len(list) != 0 {
		t.Errorf("an empty store lists %v", list)
	}
	v, err := s.Setting(bg, "shelf")
	no(t, err)
	if v != nil {
		t.Errorf("an empty store has a setting: %q", v)
	}
	no(t, s.Sweep(bg, nil))
	no(t, s.DeleteCase(bg, idA))
}

func saveLoad(t *testing.T, s, _ state.Store) {
	for _, data := range [][]byte{[]byte(`{"a":1}`), []byte("{\"a\":\"ö\\n\"}\n"), {}, {0, 0xff, 0xfe, '\n', 0}} {
		no(t, s.SaveCase(bg, brief(idA, "2026-01-02T03:04:05Z"), data, nil))
		wantCase(t, s, idA, data)
	}
	list, err := s.Cases(bg)
	no(t, err)
	want := brief(idA, "2026-01-02T03:04:05Z")
	if len(list) != 1 || !same(list[0], want) {
		t.Errorf("list = %+v, want one %+v", list, want)
	}
}

func same(a, b state.Brief) bool {
	if len(a.Films) != len(b.Films) {
		return false
	}
	for i := range a.Films {
		if a.Films[i] != b.Films[i] {
			return false
		}
	}
	a.Films, b.Films = nil, nil
	return a.ID == b.ID && a.Label == b.Label && a.Side == b.Side && a.Edited == b.Edited && a.Line == b.Line && a.Backup == b.Backup
}

func wantCase(t *testing.T, s state.Store, id string, want []byte) {
	t.Helper()
	got, err := s.LoadCase(bg, id)
	no(t, err)
	if !bytes.Equal(got, want) {
		t.Errorf("case = %q, want %q", got, want)
	}
}

func wantFilm(t *testing.T, s state.Store, film []byte) {
	t.Helper()
	got, err := s.Film(bg, hash(film))
	no(t, err)
	if !bytes.Equal(got, film) {
		t.Errorf("film of %d bytes came back as %d other bytes", len(film), len(got))
	}
}

func wantMissing(t *testing.T, what string, err error) {
	t.Helper()
	var gone *state.MissingError
	if !errors.As(err, &gone) {
		t.Errorf("%s: %v, want a MissingError", what, err)
	}
}

func listOrder(t *testing.T, s, _ state.Store) {
	no(t, s.SaveCase(bg, brief(idB, "2026-01-02T00:00:00Z"), []byte("b"), nil))
	no(t, s.SaveCase(bg, brief(idC, "2026-03-01T00:00:00Z"), []byte("c"), nil))
	no(t, s.SaveCase(bg, brief(idA, "2026-01-02T00:00:00Z"), []byte("a"), nil))
	wantOrder(t, s, idC, idA, idB)
	no(t, s.SaveCase(bg, brief(idB, "2026-04-01T00:00:00Z"), []byte("b2"), nil))
	wantOrder(t, s, idB, idC, idA)
}

func wantOrder(t *testing.T, s state.Store, want ...string) {
	t.Helper()
	list, err := s.Cases(bg)
	no(t, err)
	got := []string{}
	for _, b := range list {
		got = append(got, b.ID[:1])
	}
	if len(got) != len(want) {
		t.Fatalf("list = %v, want %d cases", got, len(want))
	}
	for i := range want {
		if list[i].ID != want[i] {
			t.Errorf("list = %v, want %s at place %d", got, want[i][:1], i)
		}
	}
}

func deleteUndelete(t *testing.T, s, _ state.Store) {
	film := []byte("film")
	b := brief(idA, "2026-01-02T00:00:00Z", hash(film))
	no(t, s.SaveCase(bg, b, []byte("a"), map[string][]byte{hash(film): film}))
	no(t, s.DeleteCase(bg, idA))
	wantOrder(t, s)
	_, err := s.LoadCase(bg, idA)
	wantMissing(t, "a deleted case", err)
	wantFilm(t, s, film)
	no(t, s.DeleteCase(bg, idA))
	no(t, s.SaveCase(bg, b, []byte("a"), nil))
	wantCase(t, s, idA, []byte("a"))
	wantFilm(t, s, film)
}

func filmOnce(t *testing.T, s, _ state.Store) {
	film := []byte("the same film")
	sum := hash(film)
	no(t, s.SaveCase(bg, brief(idA, "2026-01-02T00:00:00Z", sum), []byte("a"), map[string][]byte{sum: film}))
	no(t, s.SaveCase(bg, brief(idB, "2026-01-03T00:00:00Z", sum), []byte("b"), map[string][]byte{sum: film}))
	no(t, s.DeleteCase(bg, idA))
	no(t, s.Sweep(bg, nil))
	wantFilm(t, s, film)
	no(t, s.DeleteCase(bg, idB))
	no(t, s.Sweep(bg, nil))
	_, err := s.Film(bg, sum)
	wantMissing(t, "a film no case names, swept", err)
}

func sweep(t *testing.T, s, _ state.Store) {
	named, kept, loose := []byte("named"), []byte("kept"), []byte("loose")
	films := map[string][]byte{hash(named): named, hash(kept): kept, hash(loose): loose}
	no(t, s.SaveCase(bg, brief(idA, "2026-01-02T00:00:00Z", hash(named)), []byte("a"), films))
	no(t, s.Sweep(bg, map[string]bool{hash(kept): true, hash([]byte("never seen")): true}))
	wantFilm(t, s, named)
	wantFilm(t, s, kept)
	_, err := s.Film(bg, hash(loose))
	wantMissing(t, "a loose film", err)
	wantCase(t, s, idA, []byte("a"))
}

func settings(t *testing.T, s, _ state.Store) {
	for _, v := range [][]byte{[]byte("one"), {0, 1, 2, 0xff}, []byte("two")} {
		no(t, s.SaveSetting(bg, "shelf", v))
		got, err := s.Setting(bg, "shelf")
		no(t, err)
		if !bytes.Equal(got, v) {
			t.Errorf("setting = %q, want %q", got, v)
		}
	}
	no(t, s.SaveSetting(bg, "nothing", []byte{}))
	got, err := s.Setting(bg, "nothing")
	no(t, err)
	if got == nil || len(got) != 0 {
		t.Errorf("an empty value came back as %v, want empty and not nil", got)
	}
	if got, err = s.Setting(bg, "other"); got != nil || err != nil {
		t.Errorf("a setting never stored = %q, %v, want nil, nil", got, err)
	}
}

func missing(t *testing.T, s, _ state.Store) {
	_, err := s.LoadCase(bg, idA)
	wantMissing(t, "a case never stored", err)
	_, err = s.Film(bg, hash(nil))
	wantMissing(t, "a film never stored", err)
	_, err = s.Film(bg, "")
	wantMissing(t, "a film without a name", err)
}

func copies(t *testing.T, s, _ state.Store) {
	data, film := []byte("data"), []byte("film")
	sum := hash(film)
	b := brief(idA, "2026-01-02T00:00:00Z", sum)
	no(t, s.SaveCase(bg, b, data, map[string][]byte{sum: film}))
	data[0], film[0], b.Films[0] = 'X', 'X', "X"
	wantCase(t, s, idA, []byte("data"))
	got, err := s.Film(bg, sum)
	no(t, err)
	got[1] = 'X'
	wantFilm(t, s, []byte("film"))
	no(t, s.Sweep(bg, nil))
	wantFilm(t, s, []byte("film"))
}

func replace(t *testing.T, s, again state.Store) {
	b := brief(idA, "2026-01-02T00:00:00Z")
	film := []byte("film")
	no(t, s.ReplaceCase(bg, b, nil, []byte("1"), nil))
	no(t, again.ReplaceCase(bg, b, []byte("1"), []byte("2"), nil))
	for _, tt := range []struct {
		name string
		was  []byte
	}{{"an older one", []byte("1")}, {"none", nil}, {"an empty one", []byte{}}} {
		err := s.ReplaceCase(bg, brief(idA, "2027-01-01T00:00:00Z"), tt.was, []byte("3"), map[string][]byte{hash(film): film})
		var changed *state.ChangedError
		if !errors.As(err, &changed) || string(changed.Stored) != "2" || changed.ID != idA {
			t.Errorf("replace %s = %v, want a ChangedError with what is stored", tt.name, err)
		}
		wantCase(t, s, idA, []byte("2"))
		_, err = s.Film(bg, hash(film))
		wantMissing(t, "the film of a refused write", err)
	}
	no(t, s.DeleteCase(bg, idA))
	var changed *state.ChangedError
	if err := s.ReplaceCase(bg, b, []byte("2"), []byte("3"), nil); !errors.As(err, &changed) || changed.Stored != nil {
		t.Errorf("replace a deleted case = %v, want a ChangedError with nothing stored", err)
	}
	wantOrder(t, s)
}

func cancelled(t *testing.T, s, _ state.Store) {
	ctx, cancel := context.WithCancel(bg)
	cancel()
	film := []byte("film")
	b := brief(idA, "2026-01-02T00:00:00Z", hash(film))
	no(t, s.SaveSetting(bg, "k", []byte("v")))
	for call, err := range map[string]error{
		"Cases":       second(s.Cases(ctx)),
		"LoadCase":    second(s.LoadCase(ctx, idA)),
		"SaveCase":    s.SaveCase(ctx, b, []byte("a"), map[string][]byte{hash(film): film}),
		"ReplaceCase": s.ReplaceCase(ctx, b, nil, []byte("a"), nil),
		"DeleteCase":  s.DeleteCase(ctx, idA),
		"Film":        second(s.Film(ctx, hash(film))),
		"Sweep":       s.Sweep(ctx, nil),
		"Setting":     second(s.Setting(ctx, "k")),
		"SaveSetting": s.SaveSetting(ctx, "k", []byte("w")),
		"Persist":     second(s.Persist(ctx)),
	} {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%s with a cancelled ctx = %v, want context.Canceled", call, err)
		}
	}
	allOrNothing(t, s, film)
	during(t, s, film)
}

func second[T any](_ T, err error) error { return err }

// during cancels while the writing is under way, at ever later instants.
func during(t *testing.T, s state.Store, film []byte) {
	for range 20 {
		ctx, cancel := context.WithCancel(bg)
		done := make(chan error)
		b := brief(idA, "2026-01-02T00:00:00Z", hash(film))
		go func() { done <- s.SaveCase(ctx, b, []byte("a"), map[string][]byte{hash(film): film}) }()
		cancel()
		if err := <-done; err == nil {
			wantCase(t, s, idA, []byte("a"))
		}
		allOrNothing(t, s, film)
		no(t, s.DeleteCase(bg, idA))
		no(t, s.Sweep(bg, nil))
	}
}

func allOrNothing(t *testing.T, s state.Store, film []byte) {
	t.Helper()
	list, err := s.Cases(bg)
	no(t, err)
	_, caseErr := s.LoadCase(bg, idA)
	_, filmErr := s.Film(bg, hash(film))
	if (len(list) == 1) != (caseErr == nil) || (caseErr == nil) != (filmErr == nil) {
		t.Fatalf("half written: %d listed, case %v, film %v", len(list), caseErr, filmErr)
	}
}

func twoHandles(t *testing.T, s, again state.Store) {
	no(t, s.SaveCase(bg, brief(idA, "2026-01-02T00:00:00Z"), []byte("by the first"), nil))
	wantCase(t, again, idA, []byte("by the first"))
	no(t, again.SaveCase(bg, brief(idA, "2026-01-03T00:00:00Z"), []byte("by the second"), nil))
	wantCase(t, s, idA, []byte("by the second"))
	done := make(chan error)
	for i := range 20 {
		h := []state.Store{s, again}[i%2]
		go func() { done <- h.SaveSetting(bg, "k", bytes.Repeat([]byte{byte(i)}, 1000)) }()
	}
	for range 20 {
		no(t, <-done)
	}
	v, err := again.Setting(bg, "k")
	no(t, err)
	if len(v) != 1000 || bytes.Count(v, v[:1]) != 1000 {
		t.Errorf("writes were mixed: %d bytes", len(v))
	}
}

func large(t *testing.T, s, again state.Store) {
	film := make([]byte, 20<<20)
	x := uint32(1)
	for i := range film {
		x = x*1664525 + 1013904223
		film[i] = byte(x >> 24)
	}
	sum := hash(film)
	no(t, s.SaveCase(bg, brief(idA, "2026-01-02T00:00:00Z", sum), []byte("a"), map[string][]byte{sum: film}))
	wantFilm(t, again, film)
}

func together(t *testing.T, s, again state.Store) {
	one, two := []byte("one"), []byte("two")
	films := map[string][]byte{hash(one): one, hash(two): two}
	no(t, s.SaveCase(bg, brief(idA, "2026-01-02T00:00:00Z", hash(one), hash(two)), []byte("a"), films))
	wantCase(t, again, idA, []byte("a"))
	wantFilm(t, again, one)
	wantFilm(t, again, two)
}

func persist(t *testing.T, s, _ state.Store) {
	if _, err := s.Persist(bg); err != nil {
		t.Errorf("Persist = %v, want an answer", err)
	}
}

// Full runs the contract of a store that has room for about room bytes: a
// write beyond it is a *state.FullError, wrote nothing, lost nothing, and a
// smaller write works afterwards.
func Full(t *testing.T, s state.Store, room int) {
	small, big := []byte("small"), make([]byte, 2*room)
	no(t, s.SaveCase(bg, brief(idA, "2026-01-02T00:00:00Z", hash(small)), []byte("a"), map[string][]byte{hash(small): small}))
	var full *state.FullError
	err := s.SaveCase(bg, brief(idA, "2026-01-03T00:00:00Z", hash(big)), []byte("a2"), map[string][]byte{hash(big): big})
	if !errors.As(err, &full) {
		t.Fatalf("a film too big to keep = %v, want a FullError", err)
	}
	wantCase(t, s, idA, []byte("a"))
	wantFilm(t, s, small)
	_, err = s.Film(bg, hash(big))
	wantMissing(t, "the film that did not fit", err)
	if err := s.SaveSetting(bg, "k", big); !errors.As(err, &full) {
		t.Errorf("a setting too big to keep = %v, want a FullError", err)
	}
	no(t, s.SaveCase(bg, brief(idA, "2026-01-04T00:00:00Z"), []byte("a3"), nil))
	wantCase(t, s, idA, []byte("a3"))
}
