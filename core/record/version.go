package record

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/canon"
)

// later lists, by version, the words that it added to lists that were there
// before it.
var later = map[int]map[reflect.Type][]string{2: {
	reflect.TypeFor[EvidenceKind](): {string(TwoMarkers), string(KnownPart)},
	reflect.TypeFor[ReadingKind](): {string(OtherTrial), string(DistalDepth), string(BurialFound), string(GapFound),
		string(LengthInjured), string(LengthSound), string(TurnInjured), string(TurnSound), string(LesserInjured), string(LesserSound)},
	reflect.TypeFor[anatomy.Landmark](): {string(anatomy.Join), string(anatomy.SecondUpper), string(anatomy.SecondLower),
		string(anatomy.PatellaTop), string(anatomy.FlareA), string(anatomy.FlareB), string(anatomy.NeckFront), string(anatomy.NeckBack),
		string(anatomy.PieceUpper), string(anatomy.PieceLower), string(anatomy.OldNailTop), string(anatomy.OldNailLower)},
}, 3: {
	reflect.TypeFor[anatomy.Landmark](): {string(anatomy.LesserMiddle), string(anatomy.BowUpper), string(anatomy.BowMiddle), string(anatomy.BowLower)},
}}

// notYet returns the first thing in v that a file of a version cannot say: a
// field that is marked since a later one, or a word of a list that began then;
// nil when there is none. Nothing is read out of a file under a meaning that
// its version did not have.
func notYet(version int, path string, v reflect.Value) *FieldError {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			return notYet(version, path, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			if e := notYet(version, path+"["+strconv.Itoa(i)+"]", v.Index(i)); e != nil {
				return e
			}
		}
	case reflect.String:
		for since, words := range later {
			if since > version && slices.Contains(words[v.Type()], v.String()) {
				return &FieldError{Path: path, Why: BadWord, Got: canon.Quote(v.String()) + fmt.Sprintf(" in a file of version %d", version),
					Need: fmt.Sprintf("a word of version %d, or a file of version %d", version, since)}
			}
		}
	case reflect.Struct:
		return fieldNotYet(version, path, v)
	}
	return nil
}

func fieldNotYet(version int, path string, v reflect.Value) *FieldError {
	for i := range v.NumField() {
		f, at := v.Type().Field(i), path
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if at != "" {
			at += "."
		}
		if since := digits(f.Tag.Get("since")); since > version && f.Tag.Get("since") != "" && !v.Field(i).IsZero() {
			return &FieldError{Path: at + name, Why: Why(canon.Unknown), Got: fmt.Sprintf("a field of version %d in a file of version %d", since, version),
				Need: fmt.Sprintf("a file of version %d", since)}
		}
		if e := notYet(version, at+name, v.Field(i)); e != nil {
			return e
		}
	}
	return nil
}
