package main

import (
	"math"
	"reflect"
	"strconv"
	"strings"
)

// jsonText writes numbers, texts, lists and structs as encoding/json does,
// which would make this program larger by an eighth. It refuses numbers that
// are none, and what it does not know.
func jsonText(v any) (string, error) {
	w := jsonWriter{}
	w.value(reflect.ValueOf(v))
	if w.bad {
		return "", &trouble{"film-answer", "film: what was found could not be put into words: mark it by hand"}
	}
	return w.String(), nil
}

type jsonWriter struct {
	strings.Builder
	bad bool
}

func (w *jsonWriter) value(v reflect.Value) {
	switch v.Kind() {
	case reflect.Bool:
		w.WriteString(strconv.FormatBool(v.Bool()))
	case reflect.Int, reflect.Int32, reflect.Int64:
		w.WriteString(strconv.FormatInt(v.Int(), 10))
	case reflect.Float64:
		f := v.Float()
		w.bad = w.bad || math.IsNaN(f) || math.IsInf(f, 0)
		w.WriteString(strconv.FormatFloat(f, 'g', -1, 64))
	case reflect.String:
		w.WriteString(quote(v.String()))
	case reflect.Pointer:
		if v.IsNil() {
			w.WriteString("null")
		} else {
			w.value(v.Elem())
		}
	case reflect.Slice, reflect.Array:
		if v.Kind() == reflect.Slice && v.IsNil() {
			w.WriteString("null")
			return
		}
		w.WriteByte('[')
		for i := range v.Len() {
			if i > 0 {
				w.WriteByte(',')
			}
			w.value(v.Index(i))
		}
		w.WriteByte(']')
	case reflect.Struct:
		w.WriteByte('{')
		w.fields(v, true)
		w.WriteByte('}')
	default:
		w.bad = true
	}
}

// fields writes the fields of a struct, those of an embedded one among them.
func (w *jsonWriter) fields(v reflect.Value, first bool) bool {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		name, opts, _ := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous && name == "" {
			first = w.fields(v.Field(i), first)
			continue
		}
		if !f.IsExported() || name == "-" || opts == "omitempty" && empty(v.Field(i)) {
			continue
		}
		if name == "" {
			name = f.Name
		}
		if !first {
			w.WriteByte(',')
		}
		first = false
		w.WriteString(quote(name) + ":")
		w.value(v.Field(i))
	}
	return first
}

func empty(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Slice, reflect.String:
		return v.Len() == 0
	case reflect.Struct, reflect.Array:
		return false
	}
	return v.IsZero()
}
