package state_test

import (
	"sync"
	"testing"

	"isthmus/app/state"
	"isthmus/app/state/storetest"
)

func TestMemory(t *testing.T) {
	var mu sync.Mutex
	byTest := map[string]*state.Memory{}
	storetest.Run(t, func(t *testing.T) state.Store {
		mu.Lock()
		defer mu.Unlock()
		if byTest[t.Name()] == nil {
			byTest[t.Name()] = state.NewMemory()
		}
		return byTest[t.Name()]
	})
}

func TestMemoryFull(t *testing.T) {
	m := state.NewMemory()
	m.Quota = 10_000
	storetest.Full(t, m, m.Quota)
}
