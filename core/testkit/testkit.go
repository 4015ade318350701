// Package testkit is for tests only: it finds files or fails, so that a test
// cannot pass because its data has gone, and compares numbers.
package testkit

import (
	"math"
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

// Root returns the folder of go.mod, found from this file's own place and,
// under wasm or in a trimmed build, by walking up from the working folder.
func Root(t testing.TB) string {
	t.Helper()
	if _, file, _, ok := runtime.Caller(0); ok && filepath.IsAbs(file) {
		root := filepath.Join(filepath.Dir(file), "..", "..")
		if _, err := os.Stat(filepath.Join(root, "go.mod")); err == nil {
			return root
		}
	}
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for range 8 {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		dir = filepath.Dir(dir)
	}
	t.Fatal("testkit: go.mod not found above the working folder")
	return ""
}

// Read returns the bytes of a file below testdata, or fails the test.
func Read(t testing.TB, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(Root(t), "testdata", path))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Files returns the paths below testdata that match a pattern, and fails the
// test when there is none.
func Files(t testing.TB, pattern string) []string {
	t.Helper()
	hits, err := filepath.Glob(filepath.Join(Root(t), "testdata", pattern))
	if err != nil {
		t.Fatal(err)
	}
	if len(hits) == 0 {
		t.Fatalf("testkit: no file matches testdata/%s", pattern)
	}
	return hits
}

// Near fails the test unless got is a number within tol of want.
func Near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.6g, want %.6g ± %.2g", what, got, want, tol)
	}
}
