package state

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"

	"isthmus/core/record"
)

func hashOf(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

// AddFilm cleans a file of what tells who the patient is, decodes it, and adds
// it to the open case; film and case are then saved in one transaction. When
// the saving fails the film stays in memory and goes along with the next one;
// Status says so. The bytes must not be changed afterwards. It refuses what
// cannot be decoded, and a file that the case has already.
func (s *Session) AddFilm(ctx context.Context, file []byte, progress func(float64)) (index int, o Opened, err error) {
	s.mu.Lock()
	d := s.open
	s.mu.Unlock()
	if d == nil {
		return 0, Opened{}, &NoCaseError{}
	}
	file, o, err = s.decode(ctx, file, progress)
	if err != nil {
		return 0, Opened{}, err
	}
	sum := hashOf(file)
	s.mu.Lock()
	if s.open != d {
		s.mu.Unlock()
		return 0, Opened{}, &NoCaseError{}
	}
	_, had := d.films[sum]
	d.films[sum] = file
	err = s.do("add a film", func(c *record.Case) error {
		if i := slices.IndexFunc(c.Films, func(f record.Film) bool { return f.SHA256 == sum }); i >= 0 {
			return &DuplicateFilmError{Index: i}
		}
		index = len(c.Films)
		c.Films = append(c.Films, record.Film{SHA256: sum, Bytes: int64(len(file)), Kind: o.Kind, Frame: o.Frame, Width: o.Width, Height: o.Height, Tags: o.Tags})
		return nil
	})
	if err != nil {
		if !had {
			delete(d.films, sum)
		}
		o = Opened{}
	}
	s.mu.Unlock()
	if err == nil {
		s.changed()
	}
	return index, o, err
}

// decode cleans and opens a file. A picture of a kind that is not read is
// converted by the device, if it can, and is then the film.
func (s *Session) decode(ctx context.Context, file []byte, progress func(float64)) ([]byte, Opened, error) {
	if progress == nil {
		progress = func(float64) {}
	}
	clean, o, err := s.openClean(ctx, file, progress)
	if !unread(err) || s.w.Convert == nil {
		return clean, o, err
	}
	picture, none := s.w.Convert(ctx, file)
	if none != nil {
		return clean, o, err
	}
	clean, o, err = s.openClean(ctx, picture, progress)
	o.Warnings = append(o.Warnings, converted)
	return clean, o, err
}

const converted = "This device turned the picture into a JPEG, and that is what is kept: fine detail may have gone, and a scale must be marked on it."

// unread reports whether a decoder refused a sound picture for its kind.
func unread(err error) bool {
	var c interface{ Code() string }
	return errors.As(err, &c) && c.Code() == "radiograph-unsupported-picture"
}

// openClean cleans and opens a file. What is stored is what was decoded; only
// when a file cannot be cleaned the original is tried, for its better error.
func (s *Session) openClean(ctx context.Context, file []byte, progress func(float64)) ([]byte, Opened, error) {
	clean, cleanErr := s.clean(file)
	if cleanErr != nil {
		clean = file
	}
	o, err := s.show(ctx, hashOf(clean), clean, 0, progress, nil)
	if err == nil {
		err = cleanErr
	}
	return clean, o, err
}

func (s *Session) clean(file []byte) ([]byte, error) {
	if s.w.Clean == nil {
		return file, nil
	}
	return s.w.Clean(file)
}

// ShowFilm opens a film of the open case again.
func (s *Session) ShowFilm(ctx context.Context, index int, progress func(float64)) (Opened, error) {
	return s.ShowFrame(ctx, index, -1, progress, nil)
}

func (s *Session) filmAt(ctx context.Context, index int) (record.Film, []byte, error) {
	s.mu.Lock()
	d := s.open
	if d == nil {
		s.mu.Unlock()
		return record.Film{}, nil, &NoCaseError{}
	}
	if index < 0 || index >= len(d.c.Films) {
		n := len(d.c.Films)
		s.mu.Unlock()
		return record.Film{}, nil, &NoFilmError{Index: index, Films: n}
	}
	f := d.c.Films[index]
	s.mu.Unlock()
	file, err := s.bytesOf(ctx, d, f.SHA256)
	var gone *MissingError
	if errors.As(err, &gone) {
		err = &MissingError{What: fmt.Sprintf("film %d of this case", index+1)}
	}
	return f, file, err
}

// bytesOf returns the bytes of a film, from memory or from the store, and
// checks that they are the ones the hash was made of.
func (s *Session) bytesOf(ctx context.Context, d *doc, sum string) ([]byte, error) {
	s.mu.Lock()
	file := d.films[sum]
	s.mu.Unlock()
	if file != nil {
		return file, nil
	}
	file, err := within(ctx, saveLimit, func(ctx context.Context) ([]byte, error) { return s.w.Store.Film(ctx, sum) })
	if err != nil {
		return nil, err
	}
	if hashOf(file) != sum {
		return nil, &DamagedError{What: "this film", Cause: errors.New("its bytes are not those that were stored")}
	}
	return file, nil
}

// RemoveFilm takes a film and everything pointed at on it out of the open
// case. Undo brings it back.
func (s *Session) RemoveFilm(index int) error {
	return s.Do("remove a film", func(c *record.Case) error {
		if index < 0 || index >= len(c.Films) {
			return &NoFilmError{Index: index, Films: len(c.Films)}
		}
		c.Films = slices.Delete(c.Films, index, index+1)
		return nil
	})
}
