package state

import (
	"bytes"
	"context"
	"errors"
	"maps"
	"slices"
	"strings"
	"sync"
)

// Memory is a Store that holds everything in memory and behaves as IndexedDB
// does: copies in, copies out, all or nothing. It serves native tests. It is
// safe for use by several goroutines; each handle on it is the Memory itself.
type Memory struct {
	// Quota is the most bytes it holds, 0 for no limit. A write beyond it is
	// a *FullError.
	Quota int
	// Fail, if set, is asked before every call with the name of the method
	// and answers with the error to return instead. A write so refused wrote
	// nothing.
	Fail func(call string) error

	mu       sync.Mutex
	briefs   map[string]Brief
	cases    map[string][]byte
	films    map[string][]byte
	settings map[string][]byte
	granted  bool
}

var errQuota = errors.New("memory: over the quota")

// NewMemory returns an empty Memory.
func NewMemory() *Memory {
	return &Memory{
		briefs: map[string]Brief{}, cases: map[string][]byte{},
		films: map[string][]byte{}, settings: map[string][]byte{},
	}
}

// Copy returns another Memory with the same contents and no Fail: what a new
// tab finds after the old one was killed.
func (m *Memory) Copy() *Memory {
	m.mu.Lock()
	defer m.mu.Unlock()
	return &Memory{
		Quota: m.Quota, briefs: maps.Clone(m.briefs), cases: maps.Clone(m.cases),
		films: maps.Clone(m.films), settings: maps.Clone(m.settings),
	}
}

// begin takes the lock, or returns why the call fails.
func (m *Memory) begin(ctx context.Context, call string) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if m.Fail != nil {
		if err := m.Fail(call); err != nil {
			return err
		}
	}
	m.mu.Lock()
	return nil
}

// Cases implements Store.
func (m *Memory) Cases(ctx context.Context) ([]Brief, error) {
	if err := m.begin(ctx, "Cases"); err != nil {
		return nil, err
	}
	defer m.mu.Unlock()
	list := []Brief{}
	for _, b := range m.briefs {
		list = append(list, copyBrief(b))
	}
	SortBriefs(list)
	return list, nil
}

// SortBriefs puts the latest edit first; equal times go by ID.
func SortBriefs(list []Brief) {
	slices.SortFunc(list, func(a, b Brief) int {
		if c := strings.Compare(b.Edited, a.Edited); c != 0 {
			return c
		}
		return strings.Compare(a.ID, b.ID)
	})
}

func copyBrief(b Brief) Brief {
	b.Films = slices.Clone(b.Films)
	return b
}

// LoadCase implements Store.
func (m *Memory) LoadCase(ctx context.Context, id string) ([]byte, error) {
	if err := m.begin(ctx, "LoadCase"); err != nil {
		return nil, err
	}
	defer m.mu.Unlock()
	return copyOf(m.cases, id, "the case")
}

// copyOf returns a copy of a value, never nil, or a *MissingError.
func copyOf(in map[string][]byte, key, what string) ([]byte, error) {
	v, ok := in[key]
	if !ok {
		return nil, &MissingError{What: what}
	}
	return append([]byte{}, v...), nil
}

// SaveCase implements Store.
func (m *Memory) SaveCase(ctx context.Context, b Brief, data []byte, films map[string][]byte) error {
	if err := m.begin(ctx, "SaveCase"); err != nil {
		return err
	}
	defer m.mu.Unlock()
	return m.write(b, data, films)
}

// ReplaceCase implements Store.
func (m *Memory) ReplaceCase(ctx context.Context, b Brief, was, data []byte, films map[string][]byte) error {
	if err := m.begin(ctx, "ReplaceCase"); err != nil {
		return err
	}
	defer m.mu.Unlock()
	now, there := m.cases[b.ID]
	if there != (was != nil) || !bytes.Equal(now, was) {
		return &ChangedError{ID: b.ID, Stored: bytes.Clone(now)}
	}
	return m.write(b, data, films)
}

func (m *Memory) write(b Brief, data []byte, films map[string][]byte) error {
	more := len(data) - len(m.cases[b.ID])
	for sum, film := range films {
		more += len(film) - len(m.films[sum])
	}
	if m.Quota > 0 && m.used()+more > m.Quota {
		return &FullError{Cause: errQuota}
	}
	m.briefs[b.ID] = copyBrief(b)
	m.cases[b.ID] = append([]byte{}, data...)
	for sum, film := range films {
		m.films[sum] = append([]byte{}, film...)
	}
	return nil
}

func (m *Memory) used() int {
	n := 0
	for _, part := range []map[string][]byte{m.cases, m.films, m.settings} {
		for _, v := range part {
			n += len(v)
		}
	}
	return n
}

// DeleteCase implements Store.
func (m *Memory) DeleteCase(ctx context.Context, id string) error {
	if err := m.begin(ctx, "DeleteCase"); err != nil {
		return err
	}
	defer m.mu.Unlock()
	delete(m.briefs, id)
	delete(m.cases, id)
	return nil
}

// Film implements Store.
func (m *Memory) Film(ctx context.Context, sha256 string) ([]byte, error) {
	if err := m.begin(ctx, "Film"); err != nil {
		return nil, err
	}
	defer m.mu.Unlock()
	return copyOf(m.films, sha256, "the film")
}

// Sweep implements Store.
func (m *Memory) Sweep(ctx context.Context, keep map[string]bool) error {
	if err := m.begin(ctx, "Sweep"); err != nil {
		return err
	}
	defer m.mu.Unlock()
	named := map[string]bool{}
	for _, b := range m.briefs {
		for _, sum := range b.Films {
			named[sum] = true
		}
	}
	maps.DeleteFunc(m.films, func(sum string, _ []byte) bool { return !named[sum] && !keep[sum] })
	return nil
}

// Setting implements Store.
func (m *Memory) Setting(ctx context.Context, key string) ([]byte, error) {
	if err := m.begin(ctx, "Setting"); err != nil {
		return nil, err
	}
	defer m.mu.Unlock()
	if v, ok := m.settings[key]; ok {
		return append([]byte{}, v...), nil
	}
	return nil, nil
}

// SaveSetting implements Store.
func (m *Memory) SaveSetting(ctx context.Context, key string, value []byte) error {
	if err := m.begin(ctx, "SaveSetting"); err != nil {
		return err
	}
	defer m.mu.Unlock()
	if m.Quota > 0 && m.used()+len(value)-len(m.settings[key]) > m.Quota {
		return &FullError{Cause: errQuota}
	}
	m.settings[key] = append([]byte{}, value...)
	return nil
}

// Persist implements Store.
func (m *Memory) Persist(ctx context.Context) (bool, error) {
	if err := m.begin(ctx, "Persist"); err != nil {
		return false, err
	}
	defer m.mu.Unlock()
	m.granted = true
	return m.granted, nil
}
