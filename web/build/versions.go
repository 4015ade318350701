package build

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// VersionsFile is the file of a site folder that says which bytes belong
// together. It is also the answer of /api/version, byte for byte.
const VersionsFile = "versions.json"

// Versions says which files make one version of the site.
type Versions struct {
	Version string            `json:"version"` // 16 hexadecimal digits over all files
	Go      string            `json:"go"`      // the toolchain
	Files   map[string]string `json:"files"`   // address path → SHA-256 of the bytes, hexadecimal
}

// Marshal returns the bytes of versions.json; equal versions give equal bytes.
func (v Versions) Marshal() ([]byte, error) {
	b, err := json.Marshal(v)
	return append(b, '\n'), err
}

// address returns the path under which a file of the site is asked for.
func address(name string) string {
	if name == "index.html" {
		return "/"
	}
	return "/" + name
}

func sum(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

// versionOf returns the first 16 hexadecimal digits of the SHA-256 over the
// names and hashes of all files, in order of name, before the version is
// written into any of them.
func versionOf(files map[string][]byte) string {
	var list bytes.Buffer
	for _, name := range slices.Sorted(maps.Keys(files)) {
		fmt.Fprintf(&list, "%s %s\n", name, sum(files[name]))
	}
	return sum(list.Bytes())[:16]
}

// A MarkError reports a static file that lacks the place where the build
// writes something, or has it twice.
type MarkError struct {
	File, Mark string
	Found      int
}

// Code names the fault.
func (e *MarkError) Code() string { return "build-mark" }

func (e *MarkError) Error() string {
	return fmt.Sprintf("build: web/static/%s holds %s %d times, need once: put it back", e.File, e.Mark, e.Found)
}

func fill(files map[string][]byte, name, mark, with string) error {
	if n := bytes.Count(files[name], []byte(mark)); n != 1 {
		return &MarkError{File: name, Mark: mark, Found: n}
	}
	files[name] = bytes.Replace(files[name], []byte(mark), []byte(with), 1)
	return nil
}

// stamp writes the version and the size of app.wasm into index.html, and the
// version and the list of files with their hashes into sw.js. The service
// worker's own list is what makes a half-published site impossible to cache.
func stamp(files map[string][]byte, version string) error {
	size := fmt.Sprint(len(files["app.wasm"]))
	if err := fill(files, "index.html", "__VERSION__", version); err != nil {
		return err
	}
	if err := fill(files, "index.html", "__SIZE__", size); err != nil {
		return err
	}
	var list []string
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if name == "sw.js" {
			continue
		}
		h := sha256.Sum256(files[name])
		list = append(list, fmt.Sprintf("[%q, %q]", address(name), "sha256-"+base64.StdEncoding.EncodeToString(h[:])))
	}
	if err := fill(files, "sw.js", "__VERSION__", version); err != nil {
		return err
	}
	return fill(files, "sw.js", `["__PATH__", "__HASH__"]`, strings.Join(list, ",\n  "))
}
