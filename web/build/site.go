package build

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"time"

	"isthmus/web/slim"
)

// A Site is a folder to make.
type Site struct {
	Root     string            // folder of go.mod
	Dir      string            // where the files go; empty means .build/site
	Programs []Program         // nil means Programs()
	Extra    map[string][]byte // further files by name, for tests that need a second version
	Log      io.Writer         // one line for each step; nil means silence
}

// Folder returns where the site is made.
func (s Site) Folder() string {
	if s.Dir != "" {
		return s.Dir
	}
	return filepath.Join(s.Root, ".build", "site")
}

func (s Site) say(format string, args ...any) {
	if s.Log != nil {
		fmt.Fprintf(s.Log, format+"\n", args...)
	}
}

// Make brings the folder up to date and returns what is in it. Files that are
// already right are not written; compressed copies of files that changed, and
// files that no longer belong to the site, are removed.
func (s Site) Make() (Versions, error) {
	unlock, err := lock(s.Root)
	if err != nil {
		return Versions{}, err
	}
	defer unlock()
	if err := os.MkdirAll(s.Folder(), 0o755); err != nil {
		return Versions{}, err
	}
	files, err := s.collect()
	if err != nil {
		return Versions{}, err
	}
	version := versionOf(files)
	if err := stamp(files, version); err != nil {
		return Versions{}, err
	}
	goVersion, err := run(s.Root, nil, "go", "env", "GOVERSION")
	if err != nil {
		return Versions{}, err
	}
	v := Versions{Version: version, Go: strings.TrimSpace(goVersion), Files: map[string]string{}}
	for name, b := range files {
		v.Files[address(name)] = sum(b)
	}
	return v, s.write(files, v)
}

// collect returns every file of the site by name, not yet stamped.
func (s Site) collect() (map[string][]byte, error) {
	files, err := s.static()
	if err != nil {
		return nil, err
	}
	goroot, err := run(s.Root, nil, "go", "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	glue := filepath.Join(strings.TrimSpace(goroot), "lib", "wasm", "wasm_exec.js")
	if files["wasm_exec.js"], err = os.ReadFile(glue); err != nil {
		return nil, err
	}
	programs := s.Programs
	if programs == nil {
		programs = Programs()
	}
	for _, p := range programs {
		if files[p.File], err = s.compile(p); err != nil {
			return nil, err
		}
	}
	maps.Copy(files, s.Extra)
	return files, nil
}

// compile brings one program up to date and returns its bytes. It is compiled
// into .build/wasm, so that the site never holds half a file, and sites that
// share a program link it once.
func (s Site) compile(p Program) ([]byte, error) {
	file := filepath.Join(s.Root, ".build", "wasm", strings.NewReplacer("./", "", "/", "-").Replace(p.Package)+".wasm")
	before, err := os.ReadFile(file)
	if err != nil {
		s.say("building %s from %s; the first time takes about half a minute", p.File, p.Package)
	}
	start := time.Now()
	var flags []string
	if p.Page {
		if flags, err = pageFlags(s.Root); err != nil {
			return nil, err
		}
	}
	if err := Wasm(s.Root, p.Package, file, "", flags...); err != nil {
		return nil, err
	}
	b, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	if bytes.Equal(before, b) {
		s.say("%s is up to date", p.File)
	} else {
		s.say("built %s: %.1f MB in %.1f s", p.File, float64(len(b))/1e6, time.Since(start).Seconds())
	}
	return s.small(p, b), nil
}

// small returns the program as it is sent. One that is not understood, after
// a change of the toolchain say, is sent as the linker wrote it.
func (s Site) small(p Program, b []byte) []byte {
	if p.Plain {
		return b
	}
	small, err := slim.Go(b)
	if err != nil {
		s.say("%s is sent larger than it need be: %v", p.File, err)
		return b
	}
	return small
}

// static returns the files of web/static that go to the browser: all but Go
// files and what begins with a dot.
func (s Site) static() (map[string][]byte, error) {
	dir := filepath.Join(s.Root, "web", "static")
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	files := map[string][]byte{}
	for _, e := range entries {
		name := e.Name()
		if e.IsDir() || strings.HasPrefix(name, ".") || strings.HasSuffix(name, ".go") {
			continue
		}
		if files[name], err = os.ReadFile(filepath.Join(dir, name)); err != nil {
			return nil, err
		}
	}
	return files, nil
}

// write puts the files into the folder, versions.json last.
func (s Site) write(files map[string][]byte, v Versions) error {
	old := readVersions(s.Folder())
	for name, b := range files {
		file := filepath.Join(s.Folder(), name)
		if old.Files[address(name)] != v.Files[address(name)] {
			os.Remove(file + ".br")
			os.Remove(file + ".gz")
		}
		if err := writeChanged(file, b); err != nil {
			return err
		}
	}
	if err := s.sweep(files); err != nil {
		return err
	}
	b, err := v.Marshal()
	if err != nil {
		return err
	}
	return writeChanged(filepath.Join(s.Folder(), VersionsFile), b)
}

// sweep removes what no longer belongs to the site.
func (s Site) sweep(files map[string][]byte) error {
	entries, err := os.ReadDir(s.Folder())
	if err != nil {
		return err
	}
	for _, e := range entries {
		name := strings.TrimSuffix(strings.TrimSuffix(e.Name(), ".br"), ".gz")
		if _, ours := files[name]; ours || name == VersionsFile || e.IsDir() {
			continue
		}
		if err := os.Remove(filepath.Join(s.Folder(), e.Name())); err != nil {
			return err
		}
	}
	return nil
}

// writeChanged writes a file unless it holds these bytes already; a reader
// sees the old file or the new one, never half of it.
func writeChanged(file string, b []byte) error {
	if old, err := os.ReadFile(file); err == nil && bytes.Equal(old, b) {
		return nil
	}
	if err := os.WriteFile(file+".new", b, 0o644); err != nil {
		return err
	}
	return os.Rename(file+".new", file)
}

func readVersions(dir string) Versions {
	var v Versions
	if b, err := os.ReadFile(filepath.Join(dir, VersionsFile)); err == nil {
		if json.Unmarshal(b, &v) != nil {
			return Versions{}
		}
	}
	return v
}
