package state

import (
	"encoding/json"
	"maps"
)

// A drawer is a stored map of words: what was typed, what was removed.
type drawer struct {
	key   string
	words map[string]string
	known bool // what is stored has been read: it may be written over
	gen   int
	dirty bool
	err   error
}

func newDrawer(key string) drawer { return drawer{key: key, words: map[string]string{}} }

// load takes over what was stored; what was set here and not yet written
// stays on top.
func (d *drawer) load(stored map[string]string) {
	if stored == nil {
		return
	}
	words := maps.Clone(stored)
	if d.dirty {
		maps.Copy(words, d.words)
	}
	d.words, d.known = words, true
}

// set stores a word; an empty one is taken out.
func (d *drawer) set(key, value string) {
	if was, there := d.words[key]; there && was == value || !there && value == "" {
		return
	}
	if value == "" {
		delete(d.words, key)
	} else {
		d.words[key] = value
	}
	d.gen++
	d.dirty, d.err = true, nil
}

func (d *drawer) waits() bool { return d.dirty && d.known && d.err == nil }

func (d *drawer) bytes() []byte {
	b, err := json.Marshal(d.words)
	if err != nil {
		return []byte("{}") // a map of strings always can be written
	}
	return b
}

// Typed returns what was typed under a key, and whether something was.
func (s *Session) Typed(key string) (string, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	v, ok := s.typed.words[key]
	return v, ok
}

// SetTyped keeps what was typed under a key, through leaving the screen, a
// reload and a locked phone. An empty value forgets the key.
func (s *Session) SetTyped(key, value string) {
	s.mu.Lock()
	s.typed.set(key, value)
	s.kick()
	s.mu.Unlock()
}
