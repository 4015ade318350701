package main

import (
	"encoding/json"
	"reflect"
	"testing"

	"isthmus/core/radiograph"
	"isthmus/core/record"
	"isthmus/core/testkit"
)

// The tags written by hand are read back the same by encoding/json, for every
// DICOM film and for awkward text.
func TestTagsJSON(t *testing.T) {
	one, pair := 0.1, [2]float64{1e-7, 2}
	all := []radiograph.Tags{
		{},
		{Modality: "DX", Laterality: "L", ViewPosition: "AP", CalibrationBy: "a \"ball\" \\ 25 mm\n\x01 Kügel … 𝛿"},
		{PixelSpacing: &pair, ImagerSpacing: &pair, ScannedSpacing: &pair, Factor: &one, SID: &one, SOD: &one, Aspect: &[2]int{4, 3}, Calibration: "FIDUCIAL"},
	}
	films := 0
	for _, name := range []string{"sp_both_fiducial", "sp_imager_ermf_1p15", "sp_aspect_only", "sp_none", "sp_decimal_comma"} {
		h, err := radiograph.ReadHeader(testkit.Read(t, "films/variants/"+name+".dcm"))
		if err != nil {
			t.Fatal(err)
		}
		tags, ok := h.Tags()
		if !ok {
			t.Fatalf("%s has no tags", name)
		}
		films++
		all = append(all, tags)
	}
	if films != 5 {
		t.Fatal("films are missing")
	}
	for _, tags := range all {
		text, want := tagsJSON(tags), record.Tags(tags) // the same fields in the same order, or this does not compile
		var got record.Tags
		if err := json.Unmarshal([]byte(text), &got); err != nil {
			t.Fatalf("%v: %s", err, text)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s is not %+v", text, want)
		}
		plain, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		var a, b any
		if json.Unmarshal(plain, &a) != nil || json.Unmarshal([]byte(text), &b) != nil || !reflect.DeepEqual(a, b) {
			t.Errorf("%s is not what encoding/json writes: %s", text, plain)
		}
	}
}

// Values reach the case file as the film has them.
// Source: dcmdump of the film.
func TestTagsOfFilm(t *testing.T) {
	h, err := radiograph.ReadHeader(testkit.Read(t, "films/variants/sp_imager_ermf_1p15.dcm"))
	if err != nil {
		t.Fatal(err)
	}
	tags, _ := h.Tags()
	const want = `{"modality":"DX","imager_spacing_mm":[1.84,1.84],"factor":1.15,"sid_mm":1150,"sod_mm":1000}`
	if got := tagsJSON(tags); got != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// By hand: blocks of 2 × 2 of a 4 × 4 picture; a 5 × 1 picture shared by
// three blocks of 1, 2 and 2.
func TestShrink(t *testing.T) {
	got, w, h := shrink([]uint8{
		0, 2, 10, 10,
		4, 6, 10, 14,
		1, 1, 255, 255,
		1, 1, 255, 255}, 4, 4, 4)
	if w != 2 || h != 2 || !reflect.DeepEqual(got, []uint8{3, 11, 1, 255}) {
		t.Errorf("%v, %d × %d", got, w, h)
	}
	got, w, h = shrink([]uint8{10, 20, 30, 40, 50}, 5, 1, 3)
	if w != 3 || h != 1 || !reflect.DeepEqual(got, []uint8{10, 25, 45}) {
		t.Errorf("%v, %d × %d", got, w, h)
	}
	same := []uint8{1, 2, 3, 4}
	if got, w, h = shrink(same, 2, 2, 4); w != 2 || h != 2 || &got[0] != &same[0] {
		t.Error("a small picture was changed")
	}
}

// A law: whatever the size, the shrunk picture is small enough, and a flat
// one stays what it is.
func TestShrinkKeepsFlat(t *testing.T) {
	for _, size := range [][2]int{{1, 1}, {7, 3}, {100, 99}, {31, 1000}} {
		grey := make([]uint8, size[0]*size[1])
		for i := range grey {
			grey[i] = 77
		}
		for most := 1; most < 200; most += 13 {
			got, w, h := shrink(grey, size[0], size[1], most)
			if w*h > most || len(got) != w*h {
				t.Fatalf("%v in %d: %d × %d", size, most, w, h)
			}
			for _, v := range got {
				if v != 77 {
					t.Fatalf("%v in %d: grey %d", size, most, v)
				}
			}
		}
	}
}

func TestFillRGBA(t *testing.T) {
	out := make([]uint8, 8)
	fillRGBA(out, []uint8{0, 200})
	if !reflect.DeepEqual(out, []uint8{0, 0, 0, 255, 200, 200, 200, 255}) {
		t.Errorf("%v", out)
	}
}
