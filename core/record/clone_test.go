package record

import (
	"bytes"
	"reflect"
	"testing"
)

// The case that the tests are made from leaves no field of any type empty, so
// a new field cannot be forgotten in Clone, in the file or in the tests.
func TestWholeIsWhole(t *testing.T) {
	said := map[string]bool{}
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Pointer:
			if !v.IsNil() {
				walk(v.Elem())
			}
		case reflect.Slice:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		case reflect.Struct:
			for i := range v.NumField() {
				key := v.Type().Name() + "." + v.Type().Field(i).Name
				said[key] = said[key] || !v.Field(i).IsZero()
				walk(v.Field(i))
			}
		}
	}
	walk(reflect.ValueOf(whole()))
	for key, ok := range said {
		if !ok {
			t.Errorf("no entry of the whole case says anything in %s", key)
		}
	}
	if len(said) < 60 {
		t.Errorf("only %d fields were looked at", len(said))
	}
}

// leaves returns every number, text and truth value in v that can be set.
func leaves(v reflect.Value) (out []reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			out = leaves(v.Elem())
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			out = append(out, leaves(v.Index(i))...)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			out = append(out, leaves(v.Field(i))...)
		}
	default:
		out = append(out, v)
	}
	return out
}

// A clone is equal and shares nothing: changing any value of it leaves the
// first as it was.
func TestClone(t *testing.T) {
	first := whole()
	clone := Clone(first)
	if !Equal(first, clone) {
		t.Fatal("a clone differs from its case")
	}
	for i, v := range leaves(reflect.ValueOf(&clone).Elem()) {
		switch v.Kind() {
		case reflect.String:
			v.SetString(v.String() + "!")
		case reflect.Float64:
			v.SetFloat(v.Float() + 1)
		case reflect.Int, reflect.Int64:
			v.SetInt(v.Int() + 1)
		default:
			t.Fatalf("value %d is a %s: teach this test to change it", i, v.Kind())
		}
		if Equal(first, clone) {
			t.Errorf("value %d changed and the cases are still equal", i)
		}
	}
	if !reflect.DeepEqual(first, whole()) {
		t.Error("changing a clone changed its case")
	}
}

func TestEmptyListsAreNone(t *testing.T) {
	a, b := NewCase("00112233445566778899aabbccddeeff", "2026-11-25T07:30:00Z"), Case{}
	b = a
	b.Films, b.Readings, b.Settings, b.Implants = []Film{}, []Reading{}, []Setting{}, []Implant{}
	b.Existing, b.Followed = []Implant{}, []Followed{}
	x, errX := Marshal(a)
	y, errY := Marshal(b)
	if errX != nil || errY != nil || !bytes.Equal(x, y) || !Equal(a, b) {
		t.Errorf("an empty list is not the same as none: %v %v", errX, errY)
	}
}
