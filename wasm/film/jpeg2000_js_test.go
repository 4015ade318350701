//go:build js && wasm

package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"path/filepath"
	"strconv"
	"strings"
	"syscall/js"
	"testing"

	"isthmus/core/radiograph"
	"isthmus/core/testkit"
)

// library runs web/static/jpeg2000.js under node as the worker runs it, with
// the files that are sent to browsers.
func library(t testing.TB) {
	t.Helper()
	dir := filepath.Join(testkit.Root(t), "web", "static")
	js.Global().Set("staticFolder", dir)
	js.Global().Call("eval", `
		globalThis.OpenJPEGWASM ??= ((make) => (o) => make({...o, locateFile: (name) => staticFolder + "/" + name}))(require(staticFolder + "/openjpegwasm_decode.js"));
		(0, eval)(require("fs").readFileSync(staticFolder + "/jpeg2000.js", "utf8"));`)
}

// Every JPEG 2000 film opens to exactly the samples that other people's tools
// make of it. Source: GDCM and OpenJPEG, see the head of the reference file;
// MR_small and emri_small also DCMTK, from their RLE copies.
func TestJPEG2000IsExact(t *testing.T) {
	library(t)
	n := 0
	for _, line := range strings.Split(string(testkit.Read(t, "reference/jpeg2000.sha256")), "\n") {
		f := strings.Fields(line)
		if len(f) != 5 || f[0] == "#" {
			continue
		}
		n++
		file, frame, _ := strings.Cut(f[4], "#")
		k, _ := strconv.Atoi(frame)
		im, err := radiograph.Open(testkit.Read(t, file), radiograph.Options{Frame: k, JPEG2000: jpeg2000})
		if err != nil {
			t.Errorf("%s: %v", f[4], err)
			continue
		}
		if strconv.Itoa(im.Width) != f[1] || strconv.Itoa(im.Height) != f[2] {
			t.Errorf("%s is %d × %d", f[4], im.Width, im.Height)
		}
		b := make([]byte, 0, 2*len(im.Pix))
		for _, v := range im.Pix {
			s := int32(v) + im.Offset
			b = append(b, byte(s), byte(s>>8))
		}
		sum := sha256.Sum256(b)
		if got := hex.EncodeToString(sum[:]); got != f[0] {
			t.Errorf("%s: samples have SHA-256 %s, want %s; offset %d, %v", f[4], got, f[0], im.Offset, im.Header.Warnings)
		}
	}
	if n < 20 {
		t.Fatalf("%d films compared", n)
	}
}

// What the library refuses is damage of the film, and the next film opens; a library that cannot be loaded says so.
func TestJPEG2000Broken(t *testing.T) {
	library(t)
	film := testkit.Read(t, "films/variants/ts_90_j2k_lossless.dcm")
	open := func(b []byte) error {
		_, err := radiograph.Open(b, radiograph.Options{JPEG2000: jpeg2000})
		return err
	}
	code := func(err error) string {
		var c interface{ Code() string }
		if errors.As(err, &c) {
			return c.Code()
		}
		return ""
	}
	cod := strings.Index(string(film), "\xFF\x52\x00")
	for _, tt := range []struct {
		name string
		at   int // below the mark of the coding style: T.800, A.6.1
		v    byte
	}{{"a progression that is none", 5, 9}, {"a wavelet that is none", 13, 7}} {
		bad := append([]byte(nil), film...)
		bad[cod+tt.at] = tt.v
		if err := open(bad); code(err) != "radiograph-bad-code" || !strings.Contains(err.Error(), "JPEG 2000") {
			t.Errorf("%s: %v", tt.name, err)
		}
		if err := open(film); err != nil {
			t.Fatalf("a sound film after %s: %v", tt.name, err)
		}
	}
	was := js.Global().Get("OpenJPEGWASM")
	js.Global().Set("OpenJPEGWASM", js.Global().Call("eval", `() => Promise.reject(new Error("offline"))`))
	library(t) // a worker that starts anew
	js.Global().Set("OpenJPEGWASM", js.Global().Call("eval", `() => Promise.reject(new Error("offline"))`))
	if err := open(film); code(err) != "film-not-loaded" || !strings.Contains(err.Error(), "offline") {
		t.Errorf("a library that does not load: %v", err)
	}
	js.Global().Set("OpenJPEGWASM", was)
	if err := open(film); err != nil {
		t.Errorf("once it can be loaded: %v", err)
	}
}

func BenchmarkJPEG2000(b *testing.B) {
	library(b)
	film := testkit.Read(b, "films/odd/TOSHIBA_J2K_SIZ1_PixRep0.dcm")
	for b.Loop() {
		if _, err := radiograph.Open(film, radiograph.Options{JPEG2000: jpeg2000}); err != nil {
			b.Fatal(err)
		}
	}
}
