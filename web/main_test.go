package main

import (
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"isthmus/web/api"
)

// A port in use is said with the flag that helps.
func TestPortInUse(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	err = serve(context.Background(), l.Addr().String(), http.NotFoundHandler())
	var port *PortError
	if !errors.As(err, &port) || !strings.Contains(err.Error(), "-addr") {
		t.Errorf("serve = %v, want a PortError that names -addr", err)
	}
}

// The end of the context ends the server, cleanly.
func TestServeEnds(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	addr := l.Addr().String()
	l.Close()
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error)
	asked := make(chan bool, 1)
	go func() {
		done <- serve(ctx, addr, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			io.WriteString(w, "here")
			asked <- true
		}))
	}()
	for {
		if r, err := http.Get("http://" + addr); err == nil {
			r.Body.Close()
			break
		}
	}
	<-asked
	cancel()
	if err := <-done; err != nil {
		t.Errorf("serve = %v, want nil", err)
	}
	if _, err := net.Dial("tcp", addr); err == nil {
		t.Error("the port is still taken")
	}
}

// -out never empties a folder of somebody else.
func TestDeployRefusesForeignFolder(t *testing.T) {
	out := t.TempDir()
	mine := filepath.Join(out, "thesis.txt")
	if err := os.WriteFile(mine, []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	var foreign *NotOursError
	if err := prepare(out, filepath.Join(out, "site")); !errors.As(err, &foreign) {
		t.Errorf("prepare = %v, want a NotOursError", err)
	}
	if _, err := os.Stat(mine); err != nil {
		t.Error("the file is gone")
	}
}

func TestDeployTakesEmptyAndOwnFolder(t *testing.T) {
	out := filepath.Join(t.TempDir(), "new")
	site := filepath.Join(out, "site")
	if err := prepare(out, site); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(site, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"versions.json", "old.css"} {
		if err := os.WriteFile(filepath.Join(site, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := prepare(out, site); err != nil {
		t.Fatalf("a folder written before is refused: %v", err)
	}
	if _, err := os.Stat(filepath.Join(site, "old.css")); err == nil {
		t.Error("a file of an earlier version stays")
	}
}

// The file for static hosts says every header that the server says.
func TestHeadersFile(t *testing.T) {
	got := headers()
	for _, kv := range api.Headers() {
		if strings.Count(got, "  "+kv[0]+": "+kv[1]+"\n") != 1 {
			t.Errorf("_headers lacks %s: %s", kv[0], got)
		}
	}
	if !strings.HasPrefix(got, "/*\n") {
		t.Errorf("_headers begins with %q", got[:10])
	}
}

func TestPackedCopiesGoAlongIfWanted(t *testing.T) {
	from := t.TempDir()
	for _, name := range []string{"app.css", "app.css.br", "app.css.gz"} {
		if err := os.WriteFile(filepath.Join(from, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for packed, want := range map[bool]int{true: 3, false: 1} {
		to := t.TempDir()
		if err := copySite(from, to, packed); err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadDir(to); err != nil || len(got) != want {
			t.Errorf("packed %v: %d files (%v), want %d", packed, len(got), err, want)
		}
	}
}
