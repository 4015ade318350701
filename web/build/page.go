package build

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
)

// goApp is the library of the page.
const goApp = "github.com/maxence-charriere/go-app/v9"

// serverFiles are the files of goApp/pkg/app that only serve a site. We have
// our own shell and servers; in the page they link an HTTP client and server,
// TLS and text/template, whose use of reflection keeps every method of every
// type alive: 0.35 MB of 2.85, brotli, for code that is never called.
var serverFiles = []string{"http.go", "resource.go", "static.go"}

// noServer is what the rest of the package needs of them. Source: http.go of
// go-app v9.8.0 (MIT), where both functions are the same.
const noServer = `package app

import "strings"

// Handler serves a site in the whole package; the page has no use for it.
type Handler struct{}

func isRemoteLocation(path string) bool {
	return strings.HasPrefix(path, "https://") || strings.HasPrefix(path, "http://")
}

func isStaticResourcePath(path string) bool {
	return strings.HasPrefix(path, "/web/") || strings.HasPrefix(path, "web/")
}
`

// notInlined are the packages of the page whose functions are compiled
// without inlining: screens, words and what only starts or stores something.
// It makes the page a fifth smaller where nothing is worked out; core and the
// run time are as fast as ever.
var notInlined = []string{
	"isthmus/app/...", "isthmus/wasm/...", "github.com/...", "encoding/json", "encoding/csv", "regexp/...", "net/...",
	"fmt", "time", "reflect", "log", "crypto/...", "html", "path/...", "io/...", "context", "os", "database/...", "strconv", "internal/strconv",
}

// pageFlags returns the flags of the go command that the page is built with.
func pageFlags(root string) ([]string, error) {
	mod, err := pageModule(root)
	if err != nil {
		return nil, err
	}
	flags := []string{"-modfile", mod}
	for _, p := range notInlined {
		flags = append(flags, "-gcflags="+p+"=-l")
	}
	return flags, nil
}

// A ModuleError reports that the go command names a module otherwise than it
// did: the version that is asked for is not the one that was read.
type ModuleError struct{ Path, Dir string }

// Code names the fault.
func (e *ModuleError) Code() string { return "build-module" }

func (e *ModuleError) Error() string {
	return "build: the source of " + e.Path + " is not in " + e.Dir + ": run go mod download and try again"
}

// pageModule writes a copy of the pinned library without its server below
// .build, and a module file that uses it in place of the whole one. It returns
// the module file. go.mod stays what it is: the version there is the version
// that is copied.
func pageModule(root string) (string, error) {
	out, err := run(root, nil, "go", "mod", "download", "-json", goApp)
	if err != nil {
		return "", err
	}
	var m struct{ Dir string }
	if err := json.Unmarshal([]byte(out), &m); err != nil || m.Dir == "" {
		return "", &ModuleError{Path: goApp, Dir: "what go mod download -json prints"}
	}
	to := filepath.Join(root, ".build", "page")
	if err := copyLibrary(m.Dir, filepath.Join(to, "go-app")); err != nil {
		return "", err
	}
	for _, name := range []string{"go.mod", "go.sum"} {
		b, err := os.ReadFile(filepath.Join(root, name))
		if err != nil {
			return "", err
		}
		if name == "go.mod" {
			b = append(b, "\nreplace "+goApp+" => ./.build/page/go-app\n"...)
		}
		if err := writeChanged(filepath.Join(to, "page"+filepath.Ext(name)), b); err != nil {
			return "", err
		}
	}
	return filepath.Join(to, "page.mod"), nil
}

// copyLibrary copies what the page compiles of the library, and removes what
// an earlier version of it left in the copy.
func copyLibrary(from, to string) error {
	for _, dir := range []string{".", "pkg/app", "pkg/errors"} {
		entries, err := os.ReadDir(filepath.Join(from, dir))
		if err != nil {
			return &ModuleError{Path: goApp, Dir: from}
		}
		if err := os.MkdirAll(filepath.Join(to, dir), 0o755); err != nil {
			return err
		}
		if err := leftOver(filepath.Join(from, dir), filepath.Join(to, dir)); err != nil {
			return err
		}
		for _, e := range entries {
			if !wanted(dir, e.Name()) {
				continue
			}
			b, err := os.ReadFile(filepath.Join(from, dir, e.Name()))
			if err != nil {
				return err
			}
			if err := writeChanged(filepath.Join(to, dir, e.Name()), b); err != nil {
				return err
			}
		}
	}
	return writeChanged(filepath.Join(to, "pkg/app", "http.go"), []byte(noServer))
}

// leftOver removes files of a copied folder that the library does not have.
func leftOver(from, to string) error {
	entries, err := os.ReadDir(to)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if _, err := os.Stat(filepath.Join(from, e.Name())); e.IsDir() || err == nil {
			continue
		}
		if err := os.Remove(filepath.Join(to, e.Name())); err != nil {
			return err
		}
	}
	return nil
}

// wanted reports whether a file of the library belongs to the copy.
func wanted(dir, name string) bool {
	if dir == "." {
		return name == "go.mod" || name == "go.sum" || strings.HasPrefix(name, "LICENSE")
	}
	for _, s := range serverFiles {
		if name == s {
			return false
		}
	}
	return strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, "_test.go")
}
