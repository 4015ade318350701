package state

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"unicode"

	"isthmus/core/implant"
	"isthmus/core/record"
)

// Ending is how the name of a case file ends.
const Ending = ".isthmus"

// exported is the file that was made last and may be handed over by Save.
type exported struct {
	id, name, at string
}

// Export returns the open case as one file, with the shelf it is planned from
// and, if asked, its films. The name carries the label and the date. When Save
// then hands the file over under that name, the case counts as backed up. A
// film that is not on this device is an error: the file would be less than it
// says.
func (s *Session) Export(ctx context.Context, withFilms bool) (name string, data []byte, err error) {
	s.mu.Lock()
	d := s.open
	if d == nil {
		s.mu.Unlock()
		return "", nil, &NoCaseError{}
	}
	f := record.File{Case: record.Clone(d.c), Shelf: implant.WriteJSON(s.shelf)}
	s.mu.Unlock()
	if withFilms {
		f.Films = map[string][]byte{}
		for i, film := range f.Case.Films {
			if f.Films[film.SHA256], err = s.bytesOf(ctx, d, film.SHA256); err != nil {
				var gone *MissingError
				if errors.As(err, &gone) {
					err = &MissingError{What: fmt.Sprintf("film %d of this case", i+1)}
				}
				return "", nil, err
			}
		}
	}
	if data, err = record.Pack(f); err != nil {
		return "", nil, err
	}
	now := s.Now()
	name = fileName(f.Case.Label, now)
	if f.Case.Practice != "" {
		name = "PRACTICE-" + name
	}
	s.mu.Lock()
	s.exported = exported{id: f.Case.ID, name: name, at: now}
	s.mu.Unlock()
	return name, data, nil
}

// fileName returns a name that every file system takes: letters and digits of
// the label, at most 40, and the day.
func fileName(label, now string) string {
	var b strings.Builder
	n := 0
	for _, r := range label {
		switch {
		case n == 40:
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(r)
			n++
		case n > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
			n++
		}
	}
	stem := strings.Trim(b.String(), "-")
	if stem == "" {
		stem = "case"
	}
	day, _, _ := strings.Cut(now, "T")
	return stem + "-" + day + Ending
}

// Save hands a file to the person. When it is the file that Export made last,
// its case is marked as backed up, but only if it was really handed over.
func (s *Session) Save(ctx context.Context, name, mime string, data []byte) error {
	if err := s.w.Files.Save(ctx, name, mime, data); err != nil {
		return err
	}
	s.mu.Lock()
	e := s.exported
	s.mu.Unlock()
	if name != e.name || e.id == "" {
		return nil
	}
	d, err := s.load(ctx, e.id)
	if err != nil {
		return nil // handed over; only the mark is missing, and it errs on the safe side
	}
	s.mu.Lock()
	if now := s.docs[e.id]; now != nil {
		d = now
	}
	s.docs[e.id] = d
	s.exported = exported{}
	d.backup = e.at
	s.touch(d)
	s.mu.Unlock()
	s.changed()
	return nil
}

// Import reads a case file strictly, stores its case and films, and opens it.
// A case that is here already in the same words is only opened. One that is
// here under the same ID in other words is kept as a second case, under a new
// ID and with "(2)" behind its label; nothing is merged and nothing replaced.
// The note says what was done and with which shelf the case was planned. A
// file with any fault stores nothing.
func (s *Session) Import(ctx context.Context, data []byte) (id, note string, err error) {
	f, err := record.Unpack(data)
	if err != nil {
		return "", "", err
	}
	if err := s.cleanFilms(&f); err != nil {
		return "", "", err
	}
	notes := s.shelfNote(f.Shelf)
	if n := len(f.Absent); n > 0 {
		notes = append(notes, fmt.Sprintf("The file was sent without %d of its films.", n))
	}
	here, clash, err := s.beside(ctx, f.Case)
	if err != nil {
		return "", "", err
	}
	id, what := "", ""
	if here != nil && !clash {
		id, what, err = s.again(ctx, f, here)
	} else {
		id, what = s.take(f, clash)
	}
	if err != nil {
		return "", "", err
	}
	if err := s.Flush(ctx); err != nil && ctx.Err() != nil {
		return id, "", err
	}
	return id, strings.Join(append([]string{what}, notes...), " "), nil
}

// beside returns the case that is here under the same ID, and whether its
// content is another or cannot be read.
func (s *Session) beside(ctx context.Context, c record.Case) (here *doc, clash bool, err error) {
	here, err = s.load(ctx, c.ID)
	var gone *MissingError
	var none *UnavailableError
	var damaged *DamagedError
	var newer *record.NewerError
	switch {
	case err == nil:
		s.mu.Lock()
		defer s.mu.Unlock()
		return here, !sameCase(here.c, c), nil
	case errors.As(err, &gone), errors.As(err, &none):
		return nil, false, nil
	case errors.As(err, &damaged), errors.As(err, &newer):
		return nil, true, nil
	}
	return nil, false, err
}

// again opens a case that is here already, and adds the films it lacks.
func (s *Session) again(ctx context.Context, f record.File, here *doc) (id, what string, err error) {
	films, err := s.lacking(ctx, here, f.Films)
	if err != nil {
		return "", "", err
	}
	if err := s.OpenCase(ctx, here.c.ID); err != nil {
		return "", "", err
	}
	if len(films) == 0 {
		return here.c.ID, "This case is already here, unchanged: opened.", nil
	}
	s.mu.Lock()
	if s.open != nil && s.open.c.ID == here.c.ID {
		s.add(s.open, films)
	}
	s.mu.Unlock()
	s.changed()
	return here.c.ID, "This case is already here, unchanged: its missing films were added.", nil
}

// take opens the case of a file; one that clashes gets an ID of its own.
func (s *Session) take(f record.File, clash bool) (id, what string) {
	s.mu.Lock()
	what = "Imported."
	if clash {
		f.Case.ID = s.NewID()
		f.Case.Label = s.second(f.Case.Label)
		what = "A case with the same number is here with other content. Both are kept: this one is “" + f.Case.Label + "”."
	}
	d := newDoc(f.Case, nil)
	d.films = f.Films
	s.put(d)
	s.mu.Unlock()
	s.changed()
	return f.Case.ID, what
}

// add gives films to a case in memory and begins to save them; the lock is
// held.
func (s *Session) add(d *doc, films map[string][]byte) {
	for sum, film := range films {
		d.films[sum] = film
	}
	s.touch(d)
}

// lacking returns the films that are not here yet.
func (s *Session) lacking(ctx context.Context, d *doc, films map[string][]byte) (map[string][]byte, error) {
	new := map[string][]byte{}
	for sum, film := range films {
		_, err := s.bytesOf(ctx, d, sum)
		var gone *MissingError
		var broken *DamagedError
		switch {
		case err == nil:
		case errors.As(err, &gone), errors.As(err, &broken):
			new[sum] = film
		default:
			return nil, err
		}
	}
	return new, nil
}

// cleanFilms takes what tells who the patient is out of the films of a file
// that came from elsewhere, and names them anew in its case.
func (s *Session) cleanFilms(f *record.File) error {
	films := map[string][]byte{}
	for sum, film := range f.Films {
		clean, err := s.clean(film)
		if err != nil {
			return err
		}
		now := hashOf(clean)
		films[now] = clean
		for i := range f.Case.Films {
			if f.Case.Films[i].SHA256 == sum {
				f.Case.Films[i].SHA256, f.Case.Films[i].Bytes = now, int64(len(clean))
			}
		}
	}
	f.Films = films
	if faults := record.Check(f.Case); len(faults) > 0 {
		return &faults[0]
	}
	return nil
}

// shelfNote says with which shelf a case was planned, if it was not ours.
func (s *Session) shelfNote(theirs []byte) []string {
	if theirs == nil {
		return nil
	}
	shelf, err := implant.ParseJSON(theirs)
	if err != nil {
		return []string{"The shelf in the file cannot be read, and is left out: " + err.Error() + "."}
	}
	ours := s.Shelf()
	switch {
	case bytes.Equal(implant.WriteJSON(shelf), implant.WriteJSON(ours)):
		return nil
	case shelf.Name == ours.Name:
		return []string{"It was planned with another state of the shelf “" + shelf.Name + "”. Sizes are worked out here from your shelf."}
	}
	return []string{"It was planned with the shelf “" + shelf.Name + "”. Sizes are worked out here from yours, “" + ours.Name + "”."}
}
