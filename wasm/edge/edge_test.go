//go:build !js

package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"isthmus/web/api"
	"isthmus/web/build"
	"isthmus/web/server"
)

// worker starts the edge worker in the plain runtime and returns its address.
func worker(t *testing.T, root string, versions []byte) string {
	t.Helper()
	modules, err := build.NPM(root)
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(root, ".build", "edge")
	if err := build.Edge(root, dir, versions); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	// Port 0 is any free port; the runtime says which on the control channel.
	out, in, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(ctx, runtime(t, modules), "serve", filepath.Join(dir, "config.capnp"), "--control-fd=3")
	cmd.ExtraFiles = []*os.File{in}
	var said strings.Builder
	cmd.Stderr = &said
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	in.Close()
	t.Cleanup(func() {
		cancel()
		if cmd.Wait(); t.Failed() {
			t.Log(said.String())
		}
	})
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if m := regexp.MustCompile(`"port":\s*(\d+)`).FindStringSubmatch(lines.Text()); m != nil {
			return "http://127.0.0.1:" + m[1]
		}
	}
	t.Fatalf("the runtime ended without a port: %s", said.String())
	return ""
}

// runtime returns the program inside the npm package.
func runtime(t *testing.T, modules string) string {
	t.Helper()
	hits, err := filepath.Glob(filepath.Join(modules, "@cloudflare", "workerd-*", "bin", "workerd"))
	if err != nil || len(hits) == 0 {
		t.Fatalf("no workerd below %s (%v): npm left it out for this kind of machine", modules, err)
	}
	return hits[0]
}

type answer struct {
	status int
	body   string
	header http.Header
}

func ask(t *testing.T, method, url string) answer {
	t.Helper()
	r, err := http.NewRequest(method, url, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("User-Agent", "a test, with a comma")
	res, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer{res.StatusCode, string(b), res.Header}
}

// The edge worker and the plain server give the same answers, with the same
// headers, and the version is that of the files that are served.
func TestEdgeAnswersAsTheServerDoes(t *testing.T) {
	root, err := build.Root()
	if err != nil {
		t.Fatal(err)
	}
	site := build.Site{Root: root}
	v, err := site.Make()
	if err != nil {
		t.Fatal(err)
	}
	plain, err := server.New(site.Folder())
	if err != nil {
		t.Fatal(err)
	}
	host := &http.Server{Handler: plain, Addr: "127.0.0.1:0"}
	here := listen(t, host)
	edge := worker(t, root, plain.Versions())
	for _, tt := range []struct{ method, path string }{
		{"GET", "/api/health"}, {"GET", "/api/version"}, {"HEAD", "/api/version"},
		{"GET", "/api/unknown"}, {"POST", "/api/version"}, {"GET", "/api/health?x=1"},
	} {
		t.Run(tt.method+tt.path, func(t *testing.T) {
			got, want := ask(t, tt.method, edge+tt.path), ask(t, tt.method, here+tt.path)
			if got.status != want.status || got.body != want.body {
				t.Errorf("the edge says %d %q, the server %d %q", got.status, got.body, want.status, want.body)
			}
			names := []string{"Content-Type", "Cache-Control", "Allow"}
			for _, kv := range api.Headers() {
				names = append(names, kv[0])
			}
			for _, name := range names {
				if got.header.Get(name) != want.header.Get(name) {
					t.Errorf("%s: the edge says %q, the server %q", name, got.header.Get(name), want.header.Get(name))
				}
			}
		})
	}
	if got := ask(t, "GET", edge+"/api/version"); !strings.Contains(got.body, fmt.Sprintf("%q", v.Version)) || !strings.Contains(got.body, v.Files["/app.wasm"]) {
		t.Errorf("the edge does not name the version and the program that were built: %s", got.body)
	}
}

// listen starts a server on a free port and returns its address.
func listen(t *testing.T, s *http.Server) string {
	t.Helper()
	l, err := net.Listen("tcp", s.Addr)
	if err != nil {
		t.Fatal(err)
	}
	go s.Serve(l)
	t.Cleanup(func() { s.Close() })
	return "http://" + l.Addr().String()
}
