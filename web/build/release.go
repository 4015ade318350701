package build

import (
	"bytes"
	"compress/gzip"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"github.com/andybalholm/brotli"
)

// Brotli returns b compressed as hard as browsers read it: quality 11, a
// window of 16 MB (RFC 7932, 9.1).
func Brotli(b []byte) ([]byte, error) {
	var out bytes.Buffer
	w := brotli.NewWriterOptions(&out, brotli.WriterOptions{Quality: brotli.BestCompression, LGWin: 24})
	if _, err := w.Write(b); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// Gzip returns b compressed at level 9.
func Gzip(b []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(b); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// Compress writes a .br and a .gz beside every file of the site that gets
// smaller by a tenth or more, where they are missing. Make removes them again
// when the file changes.
func (s Site) Compress() error {
	unlock, err := lock(s.Root)
	if err != nil {
		return err
	}
	defer unlock()
	var jobs sync.WaitGroup
	slots := make(chan struct{}, runtime.NumCPU())
	failed := make(chan error, 1)
	for path := range readVersions(s.Folder()).Files {
		file := filepath.Join(s.Folder(), strings.TrimPrefix(path, "/"))
		if path == "/" {
			file = filepath.Join(s.Folder(), "index.html")
		}
		jobs.Go(func() {
			slots <- struct{}{}
			defer func() { <-slots }()
			if err := s.compressFile(file); err != nil {
				select {
				case failed <- err:
				default:
				}
			}
		})
	}
	jobs.Wait()
	close(failed)
	return <-failed
}

func (s Site) compressFile(file string) error {
	b, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	for _, c := range []struct {
		ext  string
		pack func([]byte) ([]byte, error)
	}{{".br", Brotli}, {".gz", Gzip}} {
		if _, err := os.Stat(file + c.ext); err == nil {
			continue
		}
		small, err := c.pack(b)
		if err != nil {
			return err
		}
		if 10*len(small) > 9*len(b) { // a picture is packed already
			continue
		}
		s.say("packed %s%s: %d bytes", filepath.Base(file), c.ext, len(small))
		if err := writeChanged(file+c.ext, small); err != nil {
			return err
		}
	}
	return nil
}
