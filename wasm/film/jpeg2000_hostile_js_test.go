//go:build js && wasm

package main

import (
	"bytes"
	"errors"
	"flag"
	"math/rand"
	"strings"
	"testing"

	"isthmus/core/radiograph"
	"isthmus/core/testkit"
)

var mutations = flag.Int("mutations", 300, "how many damaged JPEG 2000 films are opened")

// Damage inside the codestream that the library gets: an error with a code or
// a whole film, never a panic and never a library that refuses the next film.
// Ten minutes of it: -run Hostile -mutations 60000 -timeout 0.
func TestJPEG2000Hostile(t *testing.T) {
	library(t)
	var films [][]byte
	for _, line := range strings.Split(string(testkit.Read(t, "reference/jpeg2000.sha256")), "\n") {
		if f := strings.Fields(line); len(f) == 5 && f[0] != "#" && !strings.Contains(f[4], "#") {
			if b := testkit.Read(t, f[4]); len(b) < 40_000 && bytes.Contains(b, []byte{0xFF, 0x4F, 0xFF, 0x51}) {
				films = append(films, b)
			}
		}
	}
	if len(films) < 8 {
		t.Fatalf("%d films to damage", len(films))
	}
	r := rand.New(rand.NewSource(2000))
	opened := 0
	for i := range *mutations {
		b := bytes.Clone(films[r.Intn(len(films))])
		from := bytes.Index(b, []byte{0xFF, 0x4F, 0xFF, 0x51}) + 4
		for range 1 + r.Intn(4) {
			at := from + r.Intn(len(b)-from)
			if r.Intn(3) == 0 { // in the first part, where sizes and styles are
				at = from + r.Intn(min(200, len(b)-from))
			}
			b[at] = [...]byte{0, 0xFF, b[at] ^ 1<<r.Intn(8), byte(r.Intn(256))}[r.Intn(4)]
		}
		im, err := radiograph.Open(b, radiograph.Options{JPEG2000: jpeg2000})
		var c interface{ Code() string }
		if err != nil && (!errors.As(err, &c) || im != nil) {
			t.Fatalf("mutation %d: %v", i, err)
		}
		if err == nil && len(im.Pix) != im.Width*im.Height {
			t.Fatalf("mutation %d: %d × %d with %d samples", i, im.Width, im.Height, len(im.Pix))
		}
		if err == nil {
			opened++
		}
	}
	t.Logf("%d of %d open", opened, *mutations)
	if _, err := radiograph.Open(films[0], radiograph.Options{JPEG2000: jpeg2000}); err != nil {
		t.Errorf("a sound film afterwards: %v", err)
	}
}
