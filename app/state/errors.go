package state

import "fmt"

// A MissingError reports something that is not stored here.
type MissingError struct{ What string }

// Code names the fault for app/text.
func (e *MissingError) Code() string { return "store-missing" }

func (e *MissingError) Error() string {
	return "store: " + e.What + " is not on this device: import the case file that holds it"
}

// A FullError reports that the device has no room left. Nothing was written
// and nothing that was stored before is lost.
type FullError struct{ Cause error }

// Code names the fault for app/text.
func (e *FullError) Code() string { return "store-full" }

func (e *FullError) Error() string {
	return "store: not saved, this device has no room left: export the case to a file, delete cases you no longer need, then try again"
}

func (e *FullError) Unwrap() error { return e.Cause }

// A BlockedError reports that two tabs run different versions of the app and
// one of them must go before anything can be stored here.
type BlockedError struct {
	Outdated bool // this tab is the old one
}

// Code names the fault for app/text.
func (e *BlockedError) Code() string {
	if e.Outdated {
		return "store-outdated"
	}
	return "store-blocked"
}

func (e *BlockedError) Error() string {
	if e.Outdated {
		return "store: another tab opened the cases with a newer version of this app: export what is not saved, then reload this tab"
	}
	return "store: another tab holds the cases open with an older version of this app: close the other tab, then try again"
}

// An UnavailableError reports that this browser gives no storage, or that it
// does not answer. What is open stays in memory and can be exported.
type UnavailableError struct{ Cause error }

// Code names the fault for app/text.
func (e *UnavailableError) Code() string { return "store-unavailable" }

func (e *UnavailableError) Error() string {
	s := "store: saving does not work here (private window, or storage switched off): export the case to a file before you close this page"
	if e.Cause != nil {
		s += fmt.Sprintf(" [%v]", e.Cause)
	}
	return s
}

func (e *UnavailableError) Unwrap() error { return e.Cause }

// A ChangedError reports that what is stored under an ID is not what this tab
// read or wrote last: another tab changed or deleted it. Nothing was written.
type ChangedError struct {
	ID     string
	Stored []byte // what is there now, nil when it was deleted
}

// Code names the fault for app/text.
func (e *ChangedError) Code() string {
	if e.Stored == nil {
		return "store-deleted-elsewhere"
	}
	return "store-changed-elsewhere"
}

func (e *ChangedError) Error() string {
	did := "changed"
	if e.Stored == nil {
		did = "deleted"
	}
	return "store: not saved, another tab " + did + " this case: keep yours as a second case, or close it and open the stored one"
}

// A DamagedError reports stored bytes that cannot be read back. They are left
// where they are.
type DamagedError struct {
	What  string
	Cause error
}

// Code names the fault for app/text.
func (e *DamagedError) Code() string { return "store-damaged" }

func (e *DamagedError) Error() string {
	return fmt.Sprintf("store: %s cannot be read back (%v): it is left as it is; import your last exported file", e.What, e.Cause)
}

func (e *DamagedError) Unwrap() error { return e.Cause }

// A NoCaseError reports an edit while no case is open.
type NoCaseError struct{}

// Code names the fault for app/text.
func (e *NoCaseError) Code() string { return "state-no-case" }

func (e *NoCaseError) Error() string {
	return "state: no case is open: open one from Cases or make a new one"
}

// A DuplicateFilmError reports a film whose file the case already holds.
type DuplicateFilmError struct{ Index int }

// Code names the fault for app/text.
func (e *DuplicateFilmError) Code() string { return "state-duplicate-film" }

func (e *DuplicateFilmError) Error() string {
	return fmt.Sprintf("state: this file is already film %d of this case: choose another file, or open that film", e.Index+1)
}

// A NoFilmError reports the index of a film that the case does not have.
type NoFilmError struct{ Index, Films int }

// Code names the fault for app/text.
func (e *NoFilmError) Code() string { return "state-no-film" }

func (e *NoFilmError) Error() string {
	return fmt.Sprintf("state: film %d was asked for, the case has %d: open it from the list of films", e.Index+1, e.Films)
}

// A NothingDeletedError reports that there is no deletion to take back.
type NothingDeletedError struct{}

// Code names the fault for app/text.
func (e *NothingDeletedError) Code() string { return "state-nothing-deleted" }

func (e *NothingDeletedError) Error() string {
	return "state: there is no deleted case left to bring back: import its exported file"
}

// A DismissedError reports a share sheet that the person closed: nothing was
// handed over.
type DismissedError struct{ Name string }

// Code names the fault for app/text.
func (e *DismissedError) Code() string { return "files-dismissed" }

func (e *DismissedError) Error() string {
	return "files: “" + e.Name + "” was not handed over, the share sheet was closed: share it again when you want it"
}
