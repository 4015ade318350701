package record

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"isthmus/core/anatomy"
	"isthmus/core/canon"
)

// later lists the words of lists that version 1 had already and that began
// with version 2.
var later = map[reflect.Type][]string{
	reflect.TypeFor[EvidenceKind](): {string(TwoMarkers), string(KnownPart)},
	reflect.TypeFor[ReadingKind](): {string(OtherTrial), string(DistalDepth), string(BurialFound), string(GapFound),
		string(LengthInjured), string(LengthSound), string(TurnInjured), string(TurnSound), string(LesserInjured), string(LesserSound)},
	reflect.TypeFor[anatomy.Landmark](): {string(anatomy.Join), string(anatomy.SecondUpper), string(anatomy.SecondLower),
		string(anatomy.PatellaTop), string(anatomy.FlareA), string(anatomy.FlareB), string(anatomy.NeckFront), string(anatomy.NeckBack),
		string(anatomy.PieceUpper), string(anatomy.PieceLower), string(anatomy.OldNailTop), string(anatomy.OldNailLower)},
}

// notYet returns the first thing in v that a file of version 1 cannot say: a
// field that is marked since 2, or a word of a list that began then; nil when
// there is none. Nothing is read out of a file under a meaning that its
// version did not have.
func notYet(path string, v reflect.Value) *FieldError {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			return notYet(path, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			if e := notYet(path+"["+strconv.Itoa(i)+"]", v.Index(i)); e != nil {
				return e
			}
		}
	case reflect.String:
		if slices.Contains(later[v.Type()], v.String()) {
			return &FieldError{Path: path, Why: BadWord, Got: canon.Quote(v.String()) + " in a file of version 1", Need: "a word of version 1, or a file of version 2"}
		}
	case reflect.Struct:
		return fieldNotYet(path, v)
	}
	return nil
}

func fieldNotYet(path string, v reflect.Value) *FieldError {
	for i := range v.NumField() {
		f, at := v.Type().Field(i), path
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if at != "" {
			at += "."
		}
		if f.Tag.Get("since") != "" && !v.Field(i).IsZero() {
			return &FieldError{Path: at + name, Why: Why(canon.Unknown), Got: "a field of version 2 in a file of version 1", Need: "a file of version 2"}
		}
		if e := notYet(at+name, v.Field(i)); e != nil {
			return e
		}
	}
	return nil
}
