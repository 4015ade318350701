package radiograph

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/png"
	"slices"
	"strings"
	"testing"

	"isthmus/core/testkit"
)

// plantedJPEG is a photo with the marker in every segment that can hold text.
func plantedJPEG(t testing.TB) []byte {
	file := testkit.Read(t, "films/real/331_DDH_1.jpg")
	seg := func(mark byte, s string) string {
		return string([]byte{0xFF, mark, byte((len(s) + 2) >> 8), byte(len(s) + 2)}) + s
	}
	exif := string(minimalExif(6, true)[4:])
	gps := strings.Replace(exif, "\x00\x01\x01\x12", "\x00\x02\x01\x12", 1)
	gps = gps[:len(gps)-4] + "\x88\x25\x00\x04\x00\x00\x00\x01\x00\x00\x00\x26\x00\x00\x00\x00" + marker
	start := "\xFF\xD8" + seg(0xE0, "JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x01\x04"+marker+"AB") + seg(0xE0, "JFXX\x00\x10"+marker) +
		seg(0xE1, gps) + seg(0xE1, "http://ns.adobe.com/xap/1.0/\x00"+marker) + seg(0xE2, "MPF\x00"+marker) + seg(0xE5, marker) +
		seg(0xED, "Photoshop 3.0\x00"+marker) + seg(0xFE, marker) + seg(0xE2, "ICC_PROFILE\x00\x01\x01a profile") + "stray" + marker
	return append(append([]byte(start), file[2:]...), marker...)
}

func TestCleanJPEG(t *testing.T) {
	file := plantedJPEG(t)
	clean, removed, err := Clean(file)
	if err != nil {
		t.Fatal(err)
	}
	checkClean(t, file, clean)
	samePicture(t, file, clean)
	for _, gone := range []string{marker, "http", "MPF", "JFXX", "Photoshop", "\x88\x25\x00\x04", "stray"} {
		if !bytes.Contains(file, []byte(gone)) || bytes.Contains(clean, []byte(gone)) {
			t.Errorf("%q: was there %v, is %v", gone, bytes.Contains(file, []byte(gone)), bytes.Contains(clean, []byte(gone)))
		}
	}
	for _, kept := range []string{"JFIF", "ICC_PROFILE", "Exif\x00\x00MM"} {
		if !bytes.Contains(clean, []byte(kept)) {
			t.Errorf("%q is gone", kept)
		}
	}
	if h, err := ReadHeader(clean); err != nil || h.Orientation != 6 {
		t.Errorf("orientation %d, %v, want 6", h.Orientation, err)
	}
	if got, want := strings.Join(removed, " "), "Thumbnail EXIF XMP APP02 APP05 IPTC Comment TrailingData"; got != want {
		t.Errorf("removed %s, want %s", got, want)
	}
}

// A photo whose note of what is up cannot be read still says so when clean.
func TestCleanKeepsTheDoubt(t *testing.T) {
	file := testkit.Read(t, "broken/films/exif_broken.jpg")
	clean, _, err := Clean(file)
	if err != nil {
		t.Fatal(err)
	}
	if h, err := ReadHeader(clean); err != nil || !noted(h, OrientUnread) {
		t.Errorf("%v, %v", h.Warnings, err)
	}
}

// The photo of the folder: its place on earth is in it and goes, its scan
// stays byte for byte.
func TestCleanPhoto(t *testing.T) {
	file := testkit.Read(t, "films/photo/o6.jpg")
	clean, removed, err := Clean(file)
	if err != nil || len(removed) != 1 || removed[0] != "EXIF" {
		t.Fatalf("%v, removed %v", err, removed)
	}
	gps := []byte{0x88, 0x25, 0x00, 0x04} // GPS directory, LONG (Exif 2.3, 4.6.3)
	if !bytes.Contains(file[:260], gps) || bytes.Contains(clean[:260], gps) || bytes.Contains(clean, []byte("TestPhone")) {
		t.Error("the place was not there, or is still there")
	}
	scan := file[bytes.Index(file, []byte{0xFF, 0xDB}):]
	if !bytes.HasSuffix(clean, scan) {
		t.Error("the picture is another")
	}
}

// plantedPNG is a picture with the marker in every chunk that can hold text.
func plantedPNG(t testing.TB) []byte {
	var out bytes.Buffer
	if err := png.Encode(&out, image.NewGray16(image.Rect(0, 0, 8, 8))); err != nil {
		t.Fatal(err)
	}
	file := out.Bytes()
	chunk := func(kind, body string) []byte {
		b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
		b = append(append(b, kind...), body...)
		return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
	}
	b := slices.Clone(file[:33]) // signature and IHDR
	for _, kind := range []string{"tEXt", "zTXt", "iTXt", "eXIf", "tIME", "sPLT", "prVt", "abCd"} {
		b = append(b, chunk(kind, kind+marker)...)
	}
	b = append(b, chunk("pHYs", "\x00\x00\x0B\x13\x00\x00\x0B\x13\x01")...)
	return append(append(b, file[33:]...), marker...)
}

func TestCleanPNG(t *testing.T) {
	file := plantedPNG(t)
	clean, removed, err := Clean(file)
	if err != nil {
		t.Fatal(err)
	}
	checkClean(t, file, clean)
	samePicture(t, file, clean)
	for _, gone := range []string{marker, "tEXt", "zTXt", "iTXt", "eXIf", "tIME", "sPLT", "prVt"} {
		if !bytes.Contains(file, []byte(gone)) || bytes.Contains(clean, []byte(gone)) {
			t.Errorf("%s: was there %v, is %v", gone, bytes.Contains(file, []byte(gone)), bytes.Contains(clean, []byte(gone)))
		}
	}
	if !bytes.Contains(clean, []byte("pHYs\x00\x00\x0B\x13")) || !slices.Contains(removed, "tEXt") || !slices.Contains(removed, "Private") || !slices.Contains(removed, "TrailingData") {
		t.Errorf("pHYs is gone, or it is not told: %v", removed)
	}
}
