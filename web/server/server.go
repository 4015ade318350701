// Package server answers for the site: the files that web/build made, each
// with its right type, a strong ETag and the headers of web/api, and the two
// routes below /api.
//
// The whole folder is read once and checked against its versions.json, so a
// build that runs meanwhile can never lead to a mixture of two versions. A
// path is only ever looked up in a table: nothing outside it can be reached.
package server

import (
	"net/http"
	"path"
	"strconv"
	"strings"

	"isthmus/web/api"
)

// A Server is an http.Handler over one version of the site.
type Server struct {
	versions []byte
	files    map[string]file // by address path
	api      http.Handler
}

// A file is one address with the forms in which it can be sent.
type file struct {
	kind  string // media type
	forms []form // best first; the last one is the plain bytes
}

type form struct {
	encoding string // br, gzip, or empty
	body     []byte
	etag     string
}

// Versions returns the bytes of versions.json, the answer of /api/version.
func (s *Server) Versions() []byte { return s.versions }

func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if strings.HasPrefix(r.URL.Path, "/api/") {
		s.api.ServeHTTP(w, r)
		return
	}
	api.SetHeaders(w.Header())
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		plain(w, http.StatusMethodNotAllowed, "server: only GET and HEAD are answered here")
		return
	}
	f, ok := s.find(r)
	if !ok {
		plain(w, http.StatusNotFound, "server: there is no such file: open / to start")
		return
	}
	send(w, r, f)
}

// find returns the file of an address. An address of the app, such as
// /case/1f, is not a file: a person who opens or reloads it gets the page. Its
// last part has no dot; whatever asks for it as anything but a page gets
// nothing.
func (s *Server) find(r *http.Request) (file, bool) {
	if f, ok := s.files[r.URL.Path]; ok {
		return f, true
	}
	p := r.URL.Path
	if p == "" || p[0] != '/' || strings.Contains(path.Base(p), ".") || strings.Contains(p, "..") {
		return file{}, false
	}
	if mode := r.Header.Get("Sec-Fetch-Mode"); mode != "" && mode != "navigate" {
		return file{}, false
	}
	f, ok := s.files["/"]
	return f, ok
}

// send answers with the best form the browser takes, or says that it has it
// already.
func send(w http.ResponseWriter, r *http.Request, f file) {
	best := f.forms[len(f.forms)-1]
	for _, form := range f.forms {
		if form.encoding == "" || accepts(r.Header.Values("Accept-Encoding"), form.encoding) {
			best = form
			break
		}
	}
	h := w.Header()
	h.Set("ETag", best.etag)
	h.Set("Cache-Control", "no-cache")
	h.Set("Vary", "Accept-Encoding")
	if matches(r.Header.Values("If-None-Match"), best.etag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	h.Set("Content-Type", f.kind)
	h.Set("Content-Length", strconv.Itoa(len(best.body)))
	if best.encoding != "" {
		h.Set("Content-Encoding", best.encoding)
	}
	w.WriteHeader(http.StatusOK)
	if r.Method != http.MethodHead {
		w.Write(best.body)
	}
}

func plain(w http.ResponseWriter, status int, text string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	w.Write([]byte(text + "\n"))
}

// accepts reports whether Accept-Encoding takes a coding: named, or covered
// by *, and its weight is not zero. Source: RFC 9110, 12.5.3.
func accepts(headers []string, coding string) bool {
	star := false
	for item := range strings.SplitSeq(strings.Join(headers, ","), ",") {
		name, params, _ := strings.Cut(item, ";")
		name = strings.ToLower(strings.TrimSpace(name))
		ok := weight(params) > 0
		if name == coding {
			return ok
		}
		if name == "*" {
			star = ok
		}
	}
	return star
}

// weight returns the q of the parameters, 1 when there is none, and 0 when it
// cannot be read.
func weight(params string) float64 {
	key, value, found := strings.Cut(strings.TrimSpace(params), "=")
	if !found || !strings.EqualFold(strings.TrimSpace(key), "q") {
		return 1
	}
	q, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
	if err != nil {
		return 0
	}
	return q
}

// matches reports whether If-None-Match names this ETag. The comparison is
// the weak one, as the header asks. Source: RFC 9110, 13.1.2.
func matches(headers []string, etag string) bool {
	for item := range strings.SplitSeq(strings.Join(headers, ","), ",") {
		item = strings.TrimSpace(item)
		if item == "*" || strings.TrimPrefix(item, "W/") == etag {
			return true
		}
	}
	return false
}
