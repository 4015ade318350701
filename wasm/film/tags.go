package main

import (
	"strconv"
	"strings"

	"isthmus/core/radiograph"
)

// tagsJSON writes the tags as the case file does, as JSON of record.Tags. It
// is written by hand, and core/record is not imported, so that this small
// program does without reflection and what the case file needs; a test
// converts radiograph.Tags to record.Tags and compares with encoding/json.
func tagsJSON(t radiograph.Tags) string {
	var w objectWriter
	w.text("modality", t.Modality)
	w.text("laterality", t.Laterality)
	w.text("view_position", t.ViewPosition)
	w.pair("pixel_spacing_mm", t.PixelSpacing)
	w.pair("imager_spacing_mm", t.ImagerSpacing)
	w.pair("scanned_spacing_mm", t.ScannedSpacing)
	w.text("calibration", t.Calibration)
	w.text("calibration_by", t.CalibrationBy)
	w.number("factor", t.Factor)
	w.number("sid_mm", t.SID)
	w.number("sod_mm", t.SOD)
	if t.Aspect != nil {
		w.raw("aspect", "["+strconv.Itoa(t.Aspect[0])+","+strconv.Itoa(t.Aspect[1])+"]")
	}
	return "{" + w.b.String() + "}"
}

// An objectWriter collects the fields of a JSON object; fields that are empty
// or nil are left out.
type objectWriter struct{ b strings.Builder }

func (w *objectWriter) raw(key, value string) {
	if w.b.Len() > 0 {
		w.b.WriteByte(',')
	}
	w.b.WriteString(quote(key) + ":" + value)
}

func (w *objectWriter) text(key, v string) {
	if v != "" {
		w.raw(key, quote(v))
	}
}

func (w *objectWriter) number(key string, v *float64) {
	if v != nil {
		w.raw(key, strconv.FormatFloat(*v, 'g', -1, 64))
	}
}

func (w *objectWriter) pair(key string, v *[2]float64) {
	if v != nil {
		w.raw(key, "["+strconv.FormatFloat(v[0], 'g', -1, 64)+","+strconv.FormatFloat(v[1], 'g', -1, 64)+"]")
	}
}

// quote writes a JSON string (RFC 8259, 7).
func quote(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s { // a byte that is not UTF-8 becomes U+FFFD
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ':
			b.WriteString(`\u00`)
			b.WriteByte("0123456789abcdef"[r>>4])
			b.WriteByte("0123456789abcdef"[r&15])
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// windowsJSON writes the windows to choose from; inverted says that the film
// shows low values bright.
func windowsJSON(all []radiograph.Window, inverted bool) string {
	var b strings.Builder
	for i, v := range all {
		var w objectWriter
		w.text("name", v.Explanation)
		w.number("centre", &v.Centre)
		w.number("width", &v.Width)
		w.text("shape", string(v.Shape))
		w.raw("inverted", strconv.FormatBool(inverted))
		b.WriteString(map[bool]string{true: "[", false: ","}[i == 0] + "{" + w.b.String() + "}")
	}
	if len(all) == 0 {
		b.WriteByte('[')
	}
	return b.String() + "]"
}
