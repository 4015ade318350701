package build

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The page is built from the version that go.mod names, file by file, without
// its server; and what stands in for the server is what the library has there.
func TestPageModule(t *testing.T) {
	root, mod := pageFolder(t)
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}} {{.Version}}", goApp).Output()
	if err != nil {
		t.Fatal(err)
	}
	whole, version, _ := strings.Cut(strings.TrimSpace(string(out)), " ")
	noneIsLeft(t, whole)
	own := content(t, filepath.Join(root, "go.mod"))
	if b := content(t, mod); !strings.HasPrefix(b, own) || strings.Count(b, goApp) != strings.Count(own, goApp)+1 || !strings.Contains(own, goApp+" "+version) {
		t.Errorf("%s:\n%s", mod, b)
	}
	files, err := filepath.Glob(filepath.Join(root, ".build", "page", "go-app", "pkg", "app", "*.go"))
	if err != nil || len(files) < 35 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, f := range files {
		name := filepath.Base(f)
		if name != "http.go" && content(t, f) != content(t, filepath.Join(whole, "pkg", "app", name)) {
			t.Errorf("%s is not the library's", name)
		}
	}
	theirs := spaceless(content(t, filepath.Join(whole, "pkg", "app", "http.go")))
	for _, f := range strings.Split(noServer[strings.Index(noServer, "func "):], "func ")[1:] {
		if !strings.Contains(theirs, spaceless("func "+f)) {
			t.Errorf("the library has no such function: %s", f)
		}
	}
}

// noneIsLeft copies over an older copy: what the library no longer has goes.
func noneIsLeft(t *testing.T, whole string) {
	t.Helper()
	to := t.TempDir()
	if err := os.MkdirAll(filepath.Join(to, "pkg", "app"), 0o755); err != nil {
		t.Fatal(err)
	}
	stray := filepath.Join(to, "pkg", "app", "gone.go")
	put(t, stray, "package app\n")
	if err := copyLibrary(whole, to); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(stray); err == nil {
		t.Error("a file that the library no longer has stays in the copy")
	}
}

// pageFolder returns the project's folder and the module file of the page.
func pageFolder(t *testing.T) (root, mod string) {
	t.Helper()
	root, err := Root()
	if err != nil {
		t.Fatal(err)
	}
	if mod, err = pageModule(root); err != nil {
		t.Fatal(err)
	}
	return root, mod
}

func content(t *testing.T, file string) string {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func spaceless(s string) string { return strings.Join(strings.Fields(s), "") }

// No HTTP server, TLS or template is in the page.
func TestPageLinksNoServer(t *testing.T) {
	root, mod := pageFolder(t)
	cmd := exec.Command("go", "list", "-modfile", mod, "-deps", "./wasm/app")
	cmd.Dir, cmd.Env = root, append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []string{"net/http", "crypto/tls", "text/template", "os/exec"} {
		if bytes.Contains(out, []byte("\n"+p+"\n")) {
			t.Errorf("the page links %s", p)
		}
	}
	if !bytes.Contains(out, []byte("\n"+goApp+"/pkg/app\n")) {
		t.Error("the page is not built with its library")
	}
}
