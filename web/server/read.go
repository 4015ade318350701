package server

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"isthmus/web/api"
)

// kinds are the media types of the site, by ending. A file of another kind is
// refused when the folder is read, so that none is ever sent with a guess.
var kinds = map[string]string{
	".html":        "text/html; charset=utf-8",
	".js":          "text/javascript; charset=utf-8",
	".css":         "text/css; charset=utf-8",
	".wasm":        "application/wasm", // anything else stops instantiateStreaming
	".webmanifest": "application/manifest+json",
	".json":        "application/json",
	".png":         "image/png",
	".svg":         "image/svg+xml",
	".txt":         "text/plain; charset=utf-8",
}

// A NotBuiltError reports a folder that does not hold a built site.
type NotBuiltError struct {
	Dir   string
	Cause error
}

// Code names the fault.
func (e *NotBuiltError) Code() string { return "server-not-built" }

func (e *NotBuiltError) Error() string {
	return fmt.Sprintf("server: %s holds no site (%v): run go run ./web first", e.Dir, e.Cause)
}

func (e *NotBuiltError) Unwrap() error { return e.Cause }

// A MixedError reports a file that is not the one the others were built with.
type MixedError struct{ Dir, Path string }

// Code names the fault.
func (e *MixedError) Code() string { return "server-mixed" }

func (e *MixedError) Error() string {
	return fmt.Sprintf("server: %s in %s is not the file that was built with the others: run go run ./web again", e.Path, e.Dir)
}

// A KindError reports a file whose type is not known here.
type KindError struct{ Path string }

// Code names the fault.
func (e *KindError) Code() string { return "server-kind" }

func (e *KindError) Error() string {
	return fmt.Sprintf("server: %s is of no known type: add its ending to web/server/read.go", e.Path)
}

// New reads the folder that web/build made. It refuses a folder without
// versions.json, and one whose files are not those that versions.json names.
func New(dir string) (*Server, error) {
	raw, err := os.ReadFile(filepath.Join(dir, "versions.json"))
	if err != nil {
		return nil, &NotBuiltError{Dir: dir, Cause: err}
	}
	var versions struct {
		Files map[string]string `json:"files"`
	}
	if err := json.Unmarshal(raw, &versions); err != nil {
		return nil, &NotBuiltError{Dir: dir, Cause: err}
	}
	s := &Server{versions: raw, files: map[string]file{}, api: api.New(string(raw))}
	for path, hash := range versions.Files {
		f, err := read(dir, path, hash)
		if err != nil {
			return nil, err
		}
		s.files[path] = f
	}
	if _, ok := s.files["/"]; !ok {
		return nil, &NotBuiltError{Dir: dir, Cause: os.ErrNotExist}
	}
	return s, nil
}

// read returns one file with its compressed copies, which are tied to the
// plain bytes by web/build.
func read(dir, path, hash string) (file, error) {
	name := strings.TrimPrefix(path, "/")
	if name == "" {
		name = "index.html"
	}
	kind, known := kinds[filepath.Ext(name)]
	if !known || strings.ContainsAny(name, `/\`) {
		return file{}, &KindError{Path: path}
	}
	full := filepath.Join(dir, name)
	body, err := os.ReadFile(full)
	if err != nil {
		return file{}, &NotBuiltError{Dir: dir, Cause: err}
	}
	sum := sha256.Sum256(body)
	if hex.EncodeToString(sum[:]) != hash {
		return file{}, &MixedError{Dir: dir, Path: path}
	}
	f := file{kind: kind}
	for _, c := range []struct{ ext, encoding string }{{".br", "br"}, {".gz", "gzip"}} {
		if packed, err := os.ReadFile(full + c.ext); err == nil {
			f.forms = append(f.forms, form{c.encoding, packed, `"` + hash[:32] + `-` + c.encoding + `"`})
		}
	}
	f.forms = append(f.forms, form{"", body, `"` + hash[:32] + `"`})
	return f, nil
}
