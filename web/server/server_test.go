package server

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"isthmus/web/api"
)

var content = map[string]string{
	"index.html":           "<!doctype html><title>page</title>",
	"app.css":              "body{}",
	"boot.js":              "let a;",
	"app.wasm":             "\x00asm plain, long enough to be packed",
	"manifest.webmanifest": "{}",
	"icon-192.png":         "png",
	"icon.svg":             "<svg/>",
}

// folder writes a site as web/build would, app.wasm with its packed copies.
func folder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	files := map[string]string{}
	for name, body := range content {
		put(t, dir, name, body)
		sum := sha256.Sum256([]byte(body))
		files["/"+strings.TrimSuffix(name, "index.html")] = hex.EncodeToString(sum[:])
	}
	put(t, dir, "app.wasm.br", "brotli")
	put(t, dir, "app.wasm.gz", "gzip")
	put(t, dir, "secret.txt", "not of the site")
	b, err := json.Marshal(map[string]any{"version": "0123456789abcdef", "files": files})
	if err != nil {
		t.Fatal(err)
	}
	put(t, dir, "versions.json", string(b))
	return dir
}

func put(t *testing.T, dir, name, body string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(body), 0o644); err != nil {
		t.Fatal(err)
	}
}

func site(t *testing.T) *Server {
	t.Helper()
	s, err := New(folder(t))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func ask(s http.Handler, method, target string, headers ...string) *http.Response {
	r := httptest.NewRequest(method, "/", nil)
	r.URL.Path, r.URL.RawQuery, _ = strings.Cut(target, "?")
	for i := 0; i < len(headers); i += 2 {
		r.Header.Add(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w.Result()
}

func body(t *testing.T, r *http.Response) string {
	t.Helper()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestFilesAndAddresses(t *testing.T) {
	s := site(t)
	page := content["index.html"]
	for _, tt := range []struct {
		name, method, path string
		status             int
		kind, want         string
	}{
		{"page", "GET", "/", 200, "text/html; charset=utf-8", page},
		{"style", "GET", "/app.css", 200, "text/css; charset=utf-8", "body{}"},
		{"script", "GET", "/boot.js", 200, "text/javascript; charset=utf-8", "let a;"},
		{"program", "GET", "/app.wasm", 200, "application/wasm", content["app.wasm"]},
		{"manifest", "GET", "/manifest.webmanifest", 200, "application/manifest+json", "{}"},
		{"picture", "GET", "/icon-192.png", 200, "image/png", "png"},
		{"drawing", "GET", "/icon.svg", 200, "image/svg+xml", "<svg/>"},
		{"a query does not matter", "GET", "/app.css?v=2", 200, "text/css; charset=utf-8", "body{}"},
		{"deep link", "GET", "/case/0a1b", 200, "text/html; charset=utf-8", page},
		{"deeper link", "GET", "/sizes/head", 200, "text/html; charset=utf-8", page},
		{"deep link with query", "GET", "/case/0a1b?tab=2", 200, "text/html; charset=utf-8", page},
		{"unknown file", "GET", "/gone.css", 404, "text/plain; charset=utf-8", "server: there is no such file: open / to start\n"},
		{"unknown file below", "GET", "/case/gone.js", 404, "text/plain; charset=utf-8", "server: there is no such file: open / to start\n"},
		{"not of the site though in its folder", "GET", "/secret.txt", 404, "text/plain; charset=utf-8", "server: there is no such file: open / to start\n"},
		{"packed copy by name", "GET", "/app.wasm.br", 404, "text/plain; charset=utf-8", "server: there is no such file: open / to start\n"},
		{"list of versions is not a file", "GET", "/versions.json", 404, "text/plain; charset=utf-8", "server: there is no such file: open / to start\n"},
		{"up and out", "GET", "/../../etc/passwd", 404, "text/plain; charset=utf-8", "server: there is no such file: open / to start\n"},
		{"up with backslashes", "GET", `/..\..\etc\passwd`, 404, "text/plain; charset=utf-8", "server: there is no such file: open / to start\n"},
		{"no slash first", "GET", "app.css", 404, "text/plain; charset=utf-8", "server: there is no such file: open / to start\n"},
		{"HEAD", "HEAD", "/app.css", 200, "text/css; charset=utf-8", ""},
		{"POST", "POST", "/", 405, "text/plain; charset=utf-8", "server: only GET and HEAD are answered here\n"},
		{"DELETE", "DELETE", "/app.css", 405, "text/plain; charset=utf-8", "server: only GET and HEAD are answered here\n"},
		{"health", "GET", "/api/health", 200, "application/json", "{\"status\":\"ok\"}\n"},
		{"version", "GET", "/api/version", 200, "application/json", string(s.Versions())},
		{"unknown route is not a deep link", "GET", "/api/case", 404, "text/plain; charset=utf-8", "api: there are two addresses here, /api/health and /api/version\n"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := ask(s, tt.method, tt.path)
			if got := body(t, r); r.StatusCode != tt.status || r.Header.Get("Content-Type") != tt.kind || got != tt.want {
				t.Errorf("%s %s = %d %s %q, want %d %s %q", tt.method, tt.path,
					r.StatusCode, r.Header.Get("Content-Type"), got, tt.status, tt.kind, tt.want)
			}
			for _, kv := range api.Headers() {
				if r.Header.Get(kv[0]) != kv[1] {
					t.Errorf("%s is %q, want %q", kv[0], r.Header.Get(kv[0]), kv[1])
				}
			}
			if tt.status == 405 && r.Header.Get("Allow") != "GET, HEAD" {
				t.Error("405 without Allow")
			}
		})
	}
}

// Only a page gets the page: what a script asks for under such an address is
// not there.
func TestDeepLinkIsForPages(t *testing.T) {
	s := site(t)
	for mode, status := range map[string]int{"navigate": 200, "cors": 404, "no-cors": 404, "same-origin": 404} {
		if r := ask(s, "GET", "/case/x", "Sec-Fetch-Mode", mode); r.StatusCode != status {
			t.Errorf("asked as %s: %d, want %d", mode, r.StatusCode, status)
		}
	}
}

func TestPackedForms(t *testing.T) {
	s := site(t)
	plain := content["app.wasm"]
	for _, tt := range []struct{ name, accept, encoding, want string }{
		{"none said", "", "", plain},
		{"as browsers say it", "gzip, deflate, br, zstd", "br", "brotli"},
		{"gzip only", "gzip, deflate", "gzip", "gzip"},
		{"brotli refused", "br;q=0, gzip", "gzip", "gzip"},
		{"all refused", "br;q=0, gzip;q=0", "", plain},
		{"anything", "*", "br", "brotli"},
		{"anything but brotli", "*, br;q=0", "gzip", "gzip"},
		{"anything refused", "*;q=0", "", plain},
		{"weight that is no number", "br;q=x", "", plain},
		{"in capitals", "BR", "br", "brotli"},
		{"a longer word is another coding", "brx, xgzip", "", plain},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := ask(s, "GET", "/app.wasm", "Accept-Encoding", tt.accept)
			if got := body(t, r); got != tt.want || r.Header.Get("Content-Encoding") != tt.encoding {
				t.Errorf("%q gives %q in %q, want %q in %q", tt.accept, got, r.Header.Get("Content-Encoding"), tt.want, tt.encoding)
			}
			if r.Header.Get("Content-Length") != strconv.Itoa(len(tt.want)) || r.Header.Get("Vary") != "Accept-Encoding" || r.Header.Get("Content-Type") != "application/wasm" {
				t.Errorf("headers %v", r.Header)
			}
		})
	}
}

func TestETags(t *testing.T) {
	s := site(t)
	seen := map[string]string{}
	for _, enc := range []string{"", "gzip", "br"} {
		tag := ask(s, "GET", "/app.wasm", "Accept-Encoding", enc).Header.Get("ETag")
		if !strings.HasPrefix(tag, `"`) || seen[tag] != "" {
			t.Errorf("form %q has the tag %s: want a strong one of its own", enc, tag)
		}
		seen[tag] = "form " + enc
	}
	tag := ask(s, "GET", "/app.css").Header.Get("ETag")
	for _, tt := range []struct {
		name, has string
		status    int
	}{
		{"same", tag, 304}, {"weak", "W/" + tag, 304}, {"in a list", `"x", ` + tag, 304}, {"any", "*", 304},
		{"other", `"x"`, 200}, {"none", "", 200}, {"without quotes", strings.Trim(tag, `"`), 200},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := ask(s, "GET", "/app.css", "If-None-Match", tt.has)
			if r.StatusCode != tt.status || r.Header.Get("ETag") != tag || r.Header.Get("Cache-Control") != "no-cache" {
				t.Errorf("%s gives %d %v, want %d", tt.has, r.StatusCode, r.Header, tt.status)
			}
			if got := body(t, r); r.StatusCode == 304 && got != "" {
				t.Errorf("304 with a body %q", got)
			}
		})
	}
}

func TestNewRefuses(t *testing.T) {
	for _, tt := range []struct {
		name  string
		spoil func(dir string)
		want  any
	}{
		{"no site at all", func(dir string) { os.Remove(dir + "/versions.json") }, new(*NotBuiltError)},
		{"versions are not JSON", func(dir string) { put(t, dir, "versions.json", "{") }, new(*NotBuiltError)},
		{"versions name nothing", func(dir string) { put(t, dir, "versions.json", "{}") }, new(*NotBuiltError)},
		{"file gone", func(dir string) { os.Remove(dir + "/app.css") }, new(*NotBuiltError)},
		{"file of another version", func(dir string) { put(t, dir, "app.css", "body{color:red}") }, new(*MixedError)},
		{"unknown type", func(dir string) { put(t, dir, "versions.json", `{"files":{"/a.exe":"00"}}`) }, new(*KindError)},
		{"file outside", func(dir string) { put(t, dir, "versions.json", `{"files":{"/../a.css":"00"}}`) }, new(*KindError)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := folder(t)
			tt.spoil(dir)
			if _, err := New(dir); !errors.As(err, tt.want) {
				t.Errorf("New = %v, want %T", err, tt.want)
			}
		})
	}
}
