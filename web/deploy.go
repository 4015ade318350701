package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"isthmus/web/api"
	"isthmus/web/build"
)

// A NotOursError reports a folder that holds something and was not written by
// an earlier -out.
type NotOursError struct{ Dir string }

// Code names the fault.
func (e *NotOursError) Code() string { return "web-not-ours" }

func (e *NotOursError) Error() string {
	return fmt.Sprintf("web: %s is not empty and was not written by an earlier -out: name another folder, or empty this one", e.Dir)
}

// deploy writes a folder to deploy:
//
//	site/           the files, for any static host (with _headers beside them)
//	worker/         the edge worker, which answers /api only
//	wrangler.jsonc  says so to the edge platform
//
// Packed copies go along only if they were asked for.
func deploy(root, from, out string, versions []byte, packed bool) error {
	site := filepath.Join(out, "site")
	if err := prepare(out, site); err != nil {
		return err
	}
	if err := copySite(from, site, packed); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(site, "_headers"), []byte(headers()), 0o644); err != nil {
		return err
	}
	fmt.Println("building the edge worker")
	if err := build.Edge(root, filepath.Join(out, "worker"), versions); err != nil {
		return err
	}
	config, err := os.ReadFile(filepath.Join(root, "wasm", "edge", "wrangler.jsonc"))
	if err != nil {
		return err
	}
	fmt.Println("written to", out)
	return os.WriteFile(filepath.Join(out, "wrangler.jsonc"), config, 0o644)
}

// copySite copies the files of a site, its packed copies only if wanted.
func copySite(from, to string, packed bool) error {
	if err := os.CopyFS(to, os.DirFS(from)); err != nil || packed {
		return err
	}
	for _, ext := range []string{"br", "gz"} {
		copies, err := filepath.Glob(filepath.Join(to, "*."+ext))
		if err != nil {
			return err
		}
		for _, file := range copies {
			if err := os.Remove(file); err != nil {
				return err
			}
		}
	}
	return nil
}

// prepare empties what an earlier -out wrote, and refuses any other folder
// that holds something.
func prepare(out, site string) error {
	entries, err := os.ReadDir(out)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if len(entries) > 0 {
		if _, err := os.Stat(filepath.Join(site, build.VersionsFile)); err != nil {
			return &NotOursError{Dir: out}
		}
	}
	if err := os.RemoveAll(site); err != nil {
		return err
	}
	return os.MkdirAll(out, 0o755)
}

// headers returns the _headers file of static hosts: the headers of web/api
// on every answer.
func headers() string {
	var b strings.Builder
	b.WriteString("/*\n")
	for _, kv := range api.Headers() {
		fmt.Fprintf(&b, "  %s: %s\n", kv[0], kv[1])
	}
	b.WriteString("  Cache-Control: no-cache\n")
	return b.String()
}
