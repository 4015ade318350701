package build

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/andybalholm/brotli"
)

// project makes a folder with static files and no program to compile.
func project(t *testing.T) Site {
	t.Helper()
	root := t.TempDir()
	dir := filepath.Join(root, "web", "static")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"index.html": `<meta name="isthmus-version" content="__VERSION__"><meta content="__SIZE__">`,
		"sw.js":      `const V = "__VERSION__"; const F = [["__PATH__", "__HASH__"]];`,
		"app.css":    strings.Repeat("body{color:red}", 50),
		"static.go":  "package static",
		".hidden":    "x",
	} {
		put(t, filepath.Join(dir, name), text)
	}
	return Site{Root: root, Programs: []Program{}}
}

func put(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func made(t *testing.T, s Site) Versions {
	t.Helper()
	v, err := s.Make()
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func text(t *testing.T, s Site, name string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(s.Folder(), name))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestMakeWritesWhatBelongsTogether(t *testing.T) {
	s := project(t)
	v := made(t, s)
	if len(v.Version) != 16 || len(v.Files) != 4 || v.Files["/"] == "" || v.Files["/wasm_exec.js"] == "" {
		t.Fatalf("made %+v, want a version and four files: page, style, worker, Go's own script", v)
	}
	page, worker := text(t, s, "index.html"), text(t, s, "sw.js")
	if !strings.Contains(page, v.Version) || strings.Contains(page, "__") {
		t.Errorf("the page is %s", page)
	}
	for _, want := range []string{v.Version, `["/", "sha256-`, `["/app.css", "sha256-`, `["/wasm_exec.js", "sha256-`} {
		if strings.Count(worker, want) != 1 {
			t.Errorf("the service worker does not hold %s once: %s", want, worker)
		}
	}
	if strings.Contains(worker, "/sw.js") || strings.Contains(worker, "static.go") || strings.Contains(worker, "hidden") {
		t.Errorf("the service worker keeps what it must not: %s", worker)
	}
	for path, hash := range v.Files {
		name := strings.TrimPrefix(path, "/")
		if name == "" {
			name = "index.html"
		}
		if sum([]byte(text(t, s, name))) != hash {
			t.Errorf("%s is not the file that versions.json names", path)
		}
	}
}

// The version depends on the content and on nothing else.
func TestVersionFollowsContent(t *testing.T) {
	s := project(t)
	first := made(t, s)
	if again := made(t, s); again.Version != first.Version {
		t.Errorf("the same files make version %s and %s", first.Version, again.Version)
	}
	put(t, filepath.Join(s.Root, "web", "static", "app.css"), "p{}")
	changed := made(t, s)
	if changed.Version == first.Version {
		t.Error("another style makes the same version")
	}
	s.Extra = map[string][]byte{"x.txt": nil}
	if more := made(t, s); more.Version == changed.Version {
		t.Error("one more file makes the same version")
	}
}

// Packed copies unpack to the file, stay while it stays, go when it changes;
// so does a file that no longer belongs to the site.
func TestPackedCopiesFollowTheirFile(t *testing.T) {
	s := project(t)
	made(t, s)
	if err := s.Compress(); err != nil {
		t.Fatal(err)
	}
	want := text(t, s, "app.css")
	br, err := io.ReadAll(brotli.NewReader(strings.NewReader(text(t, s, "app.css.br"))))
	if err != nil || string(br) != want {
		t.Errorf("app.css.br unpacks to %q (%v)", br, err)
	}
	z, err := gzip.NewReader(strings.NewReader(text(t, s, "app.css.gz")))
	if err != nil {
		t.Fatal(err)
	}
	if gz, err := io.ReadAll(z); err != nil || string(gz) != want {
		t.Errorf("app.css.gz unpacks to %q (%v)", gz, err)
	}
	put(t, filepath.Join(s.Folder(), "old.css"), "from an earlier build")
	made(t, s)
	for name, stays := range map[string]bool{"app.css.br": true, "app.css.gz": true, "old.css": false} {
		if _, err := os.Stat(filepath.Join(s.Folder(), name)); (err == nil) != stays {
			t.Errorf("after making the same again, %s stays: %v, want %v", name, err == nil, stays)
		}
	}
	put(t, filepath.Join(s.Root, "web", "static", "app.css"), "p{}")
	made(t, s)
	for _, name := range []string{"app.css.br", "app.css.gz"} {
		if _, err := os.Stat(filepath.Join(s.Folder(), name)); err == nil {
			t.Errorf("%s stays though app.css changed", name)
		}
	}
}

func TestMarksAreNeeded(t *testing.T) {
	for _, tt := range []struct{ name, file, text string }{
		{"page without version", "index.html", "__SIZE__"},
		{"page with two versions", "index.html", "__VERSION__ __VERSION__ __SIZE__"},
		{"page without size", "index.html", "__VERSION__"},
		{"worker without list", "sw.js", "__VERSION__"},
		{"worker without version", "sw.js", `["__PATH__", "__HASH__"]`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := project(t)
			put(t, filepath.Join(s.Root, "web", "static", tt.file), tt.text)
			var mark *MarkError
			if _, err := s.Make(); !errors.As(err, &mark) || mark.File != tt.file {
				t.Errorf("Make = %v, want a MarkError for %s", err, tt.file)
			}
		})
	}
}

// A program that does not compile is an error that holds what the compiler
// said.
func TestCompilerErrorIsShown(t *testing.T) {
	s := project(t)
	put(t, filepath.Join(s.Root, "go.mod"), "module x\n\ngo 1.26\n")
	put(t, filepath.Join(s.Root, "main.go"), "package main\n\nfunc main() { nothing() }\n")
	s.Programs = []Program{{File: "app.wasm", Package: "."}}
	var failed *CommandError
	if _, err := s.Make(); !errors.As(err, &failed) || !bytes.Contains([]byte(failed.Output), []byte("undefined: nothing")) {
		t.Errorf("Make = %v, want the compiler's words", err)
	}
}
