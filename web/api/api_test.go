package api_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"isthmus/web/api"
)

const versions = `{"version":"0123456789abcdef","go":"go1.26","files":{"/":"aa"}}` + "\n"

func TestAnswers(t *testing.T) {
	for _, tt := range []struct {
		name, versions, method, path string
		status                       int
		kind, body                   string
	}{
		{"health", versions, "GET", "/api/health", 200, "application/json", `{"status":"ok"}` + "\n"},
		{"version is the file, byte for byte", versions, "GET", "/api/version", 200, "application/json", versions},
		{"HEAD has no body", versions, "HEAD", "/api/version", 200, "application/json", ""},
		{"unknown route", versions, "GET", "/api/cases", 404, "text/plain; charset=utf-8", "two addresses"},
		{"below a route", versions, "GET", "/api/health/x", 404, "text/plain; charset=utf-8", "two addresses"},
		{"nothing is taken in", versions, "POST", "/api/version", 405, "text/plain; charset=utf-8", "only GET and HEAD"},
		{"built without versions", "", "GET", "/api/version", 503, "text/plain; charset=utf-8", "without versions"},
		{"health of such a build", "", "GET", "/api/health", 503, "text/plain; charset=utf-8", "without versions"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			w := httptest.NewRecorder()
			api.New(tt.versions).ServeHTTP(w, httptest.NewRequest(tt.method, tt.path, nil))
			if w.Code != tt.status || w.Header().Get("Content-Type") != tt.kind {
				t.Errorf("%s %s = %d %s, want %d %s", tt.method, tt.path, w.Code, w.Header().Get("Content-Type"), tt.status, tt.kind)
			}
			if got := w.Body.String(); got != tt.body && !(tt.status >= 400 && strings.Contains(got, tt.body)) {
				t.Errorf("%s %s says %q, want %q", tt.method, tt.path, got, tt.body)
			}
			if tt.method == "HEAD" && w.Body.Len() > 0 {
				t.Errorf("HEAD sent %d bytes", w.Body.Len())
			}
			for _, kv := range api.Headers() {
				if w.Header().Get(kv[0]) != kv[1] {
					t.Errorf("%s is %q, want %q", kv[0], w.Header().Get(kv[0]), kv[1])
				}
			}
			if w.Code == http.StatusMethodNotAllowed && w.Header().Get("Allow") != "GET, HEAD" {
				t.Errorf("405 without Allow")
			}
		})
	}
}

// The policy lets nothing in from elsewhere and nothing inline: each source
// is one of those that stay in the origin.
func TestPolicyStaysHere(t *testing.T) {
	allowed := map[string]bool{"'none'": true, "'self'": true, "'wasm-unsafe-eval'": true, "blob:": true, "data:": true}
	directives := strings.Split(api.Policy, ";")
	if len(directives) < 10 {
		t.Fatalf("only %d directives", len(directives))
	}
	for _, d := range directives {
		words := strings.Fields(d)
		for _, source := range words[1:] {
			if !allowed[source] {
				t.Errorf("%s allows %s", words[0], source)
			}
			if words[0] == "script-src" && (source == "blob:" || source == "data:") {
				t.Errorf("scripts may come from %s", source)
			}
		}
	}
}
