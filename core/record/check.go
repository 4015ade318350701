package record

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"isthmus/core/anatomy"
	"isthmus/core/canon"
	"isthmus/core/units"
)

// The limits of a case. FORMAT.md lists them; a test compares the two.
const (
	maxLabel    = 80
	maxNotes    = 4000
	maxShort    = 64 // lot, AO/OTA code
	maxDevice   = 256
	maxTagText  = 1024
	maxFilms    = 24
	maxEvidence = 16 // of one film
	maxRim      = 64 // points of one piece of evidence
	maxEdge     = 64 // points of one edge of a film in a photo
	maxKey      = 48 // of a practice case
	maxReadings = 64
	maxSettings = 64
	maxImplants = 64 // each of what was put in and of what was there
	maxFollowed = 64
	maxFaults   = 50 // reported at once
	maxFilm     = 512 << 20
	maxPixels   = 65535 // of one side; the largest a DICOM header can say
)

// checker collects faults. Its prefix is the path of what is looked at.
type checker struct{ faults []FieldError }

// Check returns every fault of a case with its path, up to 50. It judges the
// form: identifiers, times, words, ranges, points on their film, what must be
// unique, fields that a kind does not have. It does not judge what is missing
// (nothing has to be known yet; see Missing) nor what contradicts itself in
// the patient, which is core/plan's to say.
func Check(c Case) []FieldError {
	k := &checker{}
	if !isHex(c.ID, 32) {
		k.add("id", BadID, canon.Quote(c.ID), "32 hexadecimal digits in lower case")
	}
	k.text("label", c.Label, maxLabel, "")
	k.time("made", c.Made)
	k.time("edited", c.Edited)
	k.word("side", string(c.Side), string(anatomy.Left), string(anatomy.Right))
	k.injury(c.Injury)
	if k.count("films", len(c.Films), maxFilms) {
		for i, f := range c.Films {
			k.film(fmt.Sprintf("films[%d]", i), f)
		}
		k.sameFiles(c.Films)
	}
	k.readings(c.Readings)
	k.settings(c.Settings)
	k.implants("implants", c.Implants)
	k.implants("existing", c.Existing, "plate", "other")
	k.followed(c.Followed)
	k.text("notes", c.Notes, maxNotes, "\n\t")
	if c.Practice != "" && !isPracticeKey(c.Practice) {
		k.add("practice", BadID, canon.Quote(c.Practice), "words of a–z and 0–9 joined by single hyphens, 1 to "+strconv.Itoa(maxKey)+" characters")
	}
	return k.faults
}

func (k *checker) add(path string, why Why, got, need string) {
	if len(k.faults) < maxFaults {
		k.faults = append(k.faults, FieldError{Path: path, Why: why, Got: got, Need: need})
	}
}

func (k *checker) count(path string, n, most int) bool {
	if n > most {
		k.add(path, TooMany, strconv.Itoa(n)+" items", "at most "+strconv.Itoa(most))
	}
	return n <= most
}

func (k *checker) text(path, s string, most int, controls string) {
	switch {
	case !plainText(s, controls):
		k.add(path, BadText, canon.Quote(s), "plain text without control characters")
	case utf8.RuneCountInString(s) > most:
		k.add(path, TooLong, strconv.Itoa(utf8.RuneCountInString(s))+" characters", "at most "+strconv.Itoa(most))
	}
}

func (k *checker) time(path, s string) {
	if !isTime(s) {
		k.add(path, BadTime, canon.Quote(s), "a time in UTC such as 2026-11-25T07:30:00Z")
	}
}

// word checks a word against those that are known; empty is no answer.
func (k *checker) word(path, s string, known ...string) {
	if s != "" && !slices.Contains(known, s) {
		k.add(path, BadWord, canon.Quote(s), strings.Join(known, ", ")+", or nothing")
	}
}

// must is word for a field that may not be empty.
func (k *checker) must(path, s string, known ...string) {
	if !slices.Contains(known, s) {
		k.add(path, BadWord, canon.Quote(s), "one of "+strings.Join(known, ", "))
	}
}

func (k *checker) answer(path string, a Answer) {
	k.word(path, string(a), string(Yes), string(No), string(Unsure))
}

// size checks an optional number against lo…hi; without a lower bound of its
// own, zero is not a size: lo is then left out of what is allowed.
func (k *checker) size(path string, v *units.MM, lo, hi float64, zero bool) {
	if v != nil {
		k.number(path, float64(*v), lo, hi, zero, " mm")
	}
}

func (k *checker) number(path string, v, lo, hi float64, ends bool, unit string) {
	need := units.Trim(lo, 3) + " to " + units.Trim(hi, 3) + unit
	if !ends {
		need = "more than " + units.Trim(lo, 3) + " and at most " + units.Trim(hi, 3) + unit
	}
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		k.add(path, BadNumber, "no finite number", need)
	case !(v >= lo && v <= hi) || !ends && v == lo:
		k.add(path, BadRange, strconv.FormatFloat(v, 'g', 6, 64), need)
	}
}

func (k *checker) injury(in Injury) {
	k.text("injury.code", in.Code, maxShort, "")
	for _, a := range []struct {
		name string
		a    Answer
	}{
		{"neck", in.Neck}, {"neck_by_ct", in.NeckByCT}, {"neck_by_film", in.NeckByFilm}, {"open_physis", in.OpenPhysis},
		{"infection", in.Infection}, {"implant", in.Implant}, {"atypical", in.Atypical}, {"pathologic", in.Pathologic},
	} {
		k.answer("injury."+a.name, a.a)
	}
	k.word("injury.level", string(in.Level), texts(Levels())...)
	if in.AgeYears != nil {
		k.number("injury.age_years", float64(*in.AgeYears), 0, 130, true, " years")
	}
	k.injuryMore(in)
}

func (k *checker) readings(rs []Reading) {
	if !k.count("readings", len(rs), maxReadings) {
		return
	}
	seen := map[string]bool{}
	for i, r := range rs {
		at := fmt.Sprintf("readings[%d]", i)
		k.shortID(at+".id", r.ID, seen)
		k.must(at+".kind", string(r.Kind), texts(ReadingKinds())...)
		k.time(at+".at", r.At)
		k.answer(at+".reduced", r.Reduced)
		k.answer(at+".on_bone", r.OnBone)
		k.size(at+".first_mm", r.First, 0, 2000, r.Kind == BurialFound || r.Kind == GapFound)
		k.readingMore(at, r)
		k.size(at+".second_mm", r.Second, 0, 2000, true)
		k.size(at+".off_bone_mm", r.OffBone, 0, 200, true)
		k.size(at+".gap_left_mm", r.GapLeft, 0, 200, true)
		k.size(at+".subtracts_mm", r.Subtracts, 0, 200, true)
		wire := r.Kind == WireLower || r.Kind == WireUpper
		k.belongs(at+".second_mm", r.Second != nil, r.Kind == TwoRods, "two-rods")
		k.belongs(at+".gap_left_mm", r.GapLeft != nil, wire, "wire-lower and wire-upper")
		k.belongs(at+".subtracts_mm", r.Subtracts != nil, wire, "wire-lower and wire-upper")
	}
}

// belongs refuses a field on a kind that does not have it.
func (k *checker) belongs(path string, there, may bool, kinds string) {
	if there && !may {
		k.add(path, NotOfKind, "a value", "this field on "+kinds+" only")
	}
}

// shortID checks the form of an identifier and that it is the only one.
func (k *checker) shortID(path, id string, seen map[string]bool) {
	switch {
	case !isShortID(id):
		k.add(path, BadID, canon.Quote(id), "1 to 32 of a–z, 0–9 and -")
	case seen[id]:
		k.add(path, Twice, canon.Quote(id)+" again", "an identifier of its own")
	}
	seen[id] = true
}

func (k *checker) settings(ss []Setting) {
	if !k.count("settings", len(ss), maxSettings) {
		return
	}
	seen := map[string]bool{}
	for i, s := range ss {
		at := fmt.Sprintf("settings[%d]", i)
		switch {
		case !isKey(s.Key):
			k.add(at+".key", BadID, canon.Quote(s.Key), "1 to 64 of a–z, 0–9, -, _ and .")
		case seen[s.Key]:
			k.add(at+".key", Twice, canon.Quote(s.Key)+" again", "each key once")
		}
		seen[s.Key] = true
		k.number(at+".value", s.Value, -1e6, 1e6, true, "")
	}
}

func (k *checker) implants(path string, ims []Implant, more ...string) {
	if !k.count(path, len(ims), maxImplants) {
		return
	}
	for i, im := range ims {
		at := fmt.Sprintf("%s[%d]", path, i)
		k.must(at+".kind", im.Kind, append([]string{"nail", "head-screw-lower", "head-screw-upper", "locking-screw", "end-cap"}, more...)...)
		k.implant(at, im)
	}
}

func (k *checker) implant(at string, im Implant) {
	k.word(at+".side", string(im.Side), string(anatomy.Left), string(anatomy.Right))
	k.size(at+".diameter_mm", im.Diameter, 0, 50, false)
	k.size(at+".length_mm", im.Length, 0, 1000, im.Kind == "end-cap") // a flush cap adds nothing
	k.text(at+".lot", im.Lot, maxShort, "")
	k.text(at+".device", im.Device, maxDevice, "\x1d") // group separator of a scanned code
	k.time(at+".at", im.At)
	k.text(at+".drive", im.Drive, maxShort, "")
	k.answer(at+".broken", im.Broken)
}
