package static

import (
	"crypto/sha256"
	"fmt"

	"os"
	"strings"
	"testing"
)

// The library is the published one, byte for byte, and its licences go with
// it. Source: the files of the npm package @cornerstonejs/codec-openjpeg 1.3.6,
// whose integrity the licence file names.
func TestOpenJPEGIsPinned(t *testing.T) {
	for file, want := range map[string]string{
		"openjpegwasm_decode.js":   "8e6d4ea409ed817ee08aed0c440048616091781fce5b22b81c7cd850d80937b5",
		"openjpegwasm_decode.wasm": "5aff4e65444480a402898fe7369a9d2bc77e8181f858fc0d10150b2dabf07dee",
	} {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if sum := sha256.Sum256(b); fmt.Sprintf("%x", sum) != want {
			t.Errorf("%s is not the published file", file)
		}
	}
	text := read(t, "openjpeg-licences.txt")
	for _, want := range []string{"1.3.6", "MIT License", "2-clause BSD", "Universite catholique de Louvain", "Emscripten authors"} {
		if !strings.Contains(text, want) {
			t.Errorf("the licences do not name %s", want)
		}
	}
}

// What runs in the film worker keeps to the policy: no code from text, nothing
// from elsewhere.
func TestWorkerScriptsAreStrict(t *testing.T) {
	for _, file := range []string{"film-worker.js", "jpeg2000.js", "openjpegwasm_decode.js"} {
		text := read(t, file)
		for _, bad := range []string{"eval(", "new Function", "Function(\"", "http://", "https://"} {
			if strings.Contains(text, bad) {
				t.Errorf("%s holds %q", file, bad)
			}
		}
	}
	if !strings.Contains(read(t, "film-worker.js"), `"/jpeg2000.js"`) || !strings.Contains(read(t, "jpeg2000.js"), `importScripts("/openjpegwasm_decode.js")`) {
		t.Error("the worker does not load the library")
	}
}
