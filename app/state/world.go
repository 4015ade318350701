// Package state holds what is open on the screen (the case, the shelf, the
// settings, what was typed), changes it only through edits that can be
// undone, and asks the world for storage and decoding through small
// interfaces, so that it is tested as plain Go.
package state

import (
	"context"

	"isthmus/core/implant"
	"isthmus/core/record"
)

// A Brief is a case as the list shows it.
type Brief struct {
	ID     string `json:"id"`
	Label  string `json:"label"`
	Side   string `json:"side"`
	Edited string `json:"edited"`
	Line   string `json:"line"`   // one line of what is known, made when it was saved
	Backup string `json:"backup"` // when it was last exported, RFC 3339, or empty

	Practice string `json:"practice,omitempty"` // key of the drawn case that it is; empty: a patient's

	Films []string `json:"films,omitempty"` // SHA-256 of the films the case names: Sweep spares them
}

// A Store keeps cases, films and settings. A call that returns nil has been
// written for good: the transaction has completed. It is implemented by
// wasm/store (IndexedDB) and by Memory, and both pass the same contract test
// (app/state/storetest). A call whose ctx has ended returns an error and has
// written everything or nothing. What goes in and what comes out are copies.
type Store interface {
	// Cases lists the stored cases, latest edit first.
	Cases(ctx context.Context) ([]Brief, error)
	// LoadCase returns the canonical bytes of a case (record.Marshal).
	LoadCase(ctx context.Context, id string) ([]byte, error)
	// SaveCase writes a case and the films that are new, in one transaction,
	// whatever was stored under its ID before.
	SaveCase(ctx context.Context, b Brief, data []byte, films map[string][]byte) error
	// ReplaceCase does the same, but only while the bytes stored under the ID
	// are still was (nil: none are stored). Else it writes nothing and returns
	// a *ChangedError, so that two tabs cannot overwrite each other unseen.
	ReplaceCase(ctx context.Context, b Brief, was, data []byte, films map[string][]byte) error
	// DeleteCase removes a case, if it is there; its films stay until Sweep.
	DeleteCase(ctx context.Context, id string) error
	// Film returns the bytes stored under a SHA-256, or a *MissingError.
	Film(ctx context.Context, sha256 string) ([]byte, error)
	// Sweep removes the films that no stored case names (Brief.Films) and
	// that are not in keep, in one transaction.
	Sweep(ctx context.Context, keep map[string]bool) error
	// Setting returns a stored value, or nil when there is none.
	Setting(ctx context.Context, key string) ([]byte, error)
	// SaveSetting stores a value under a key (shelf, policy, typed numbers).
	SaveSetting(ctx context.Context, key string, value []byte) error
	// Persist asks the browser to keep the data and returns its answer.
	Persist(ctx context.Context) (granted bool, err error)
}

// Opened is a decoded film. Bitmap is a picture the screen can draw; nothing
// is ever measured from it.
type Opened struct {
	Kind     string
	Frames   int
	Frame    int
	Width    int
	Height   int
	Tags     *record.Tags
	Warnings []string // in words, to be shown beside the film
	Bitmap   any      // ImageBitmap in the browser, nil in tests
	Windows  []Window // to choose from; the first is the one that Bitmap shows
}

// A Decoder opens the bytes of a film away from the screen's thread.
// Cancelling ctx ends the work.
type Decoder interface {
	Open(ctx context.Context, file []byte, frame int, progress func(done float64)) (Opened, error)
}

// Files moves files between the device and the app.
type Files interface {
	// Save hands a file to the person: share sheet where there is one, else a
	// download. A sheet that the person closes is a *DismissedError.
	Save(ctx context.Context, name, mime string, data []byte) error
}

// A Clock and a source of identifiers come in from outside.
type Clock interface {
	Now() string   // RFC 3339, UTC
	NewID() string // 32 hexadecimal digits
}

// A World is everything a session asks the outside for.
type World struct {
	Store   Store
	Decoder Decoder
	Files   Files
	Clock   Clock
	// Clean returns a film without what tells who the patient is, made before
	// anything is stored, so that the stored film, its hash and every export
	// are clean and the original is never kept. Nil leaves films as they are.
	Clean func(file []byte) ([]byte, error)
	// Convert turns a picture of a kind the decoder does not read into one
	// that it does, if the device can. The converted picture is the film that
	// is kept, so that it opens on every device. Nil converts nothing.
	Convert func(ctx context.Context, file []byte) ([]byte, error)
	// Line makes the one line of the list from a case. Nil leaves it empty.
	Line func(c record.Case, shelf implant.Shelf) string
	// OnChange is called, from any goroutine and never under a lock, after
	// something that a screen shows has changed.
	OnChange func()
}
