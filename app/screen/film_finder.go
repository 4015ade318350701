package screen

import "isthmus/app/state"

// finderOf returns what looks at the pixels of the open case's films, or nil
// where nothing does.
func finderOf(*state.Session) finder { return nil }
