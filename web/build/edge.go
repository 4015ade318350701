package build

import (
	"os"
	"path/filepath"
)

// Edge makes the edge worker in dir: the platform's glue and app.wasm from
// wasm/edge, with versions (the bytes of versions.json) inside it. The folder
// is emptied first.
func Edge(root, dir string, versions []byte) error {
	unlock, err := lock(root)
	if err != nil {
		return err
	}
	defer unlock()
	abs, err := filepath.Abs(dir)
	if err != nil {
		return err
	}
	// The glue comes from the module itself, so that it fits its version.
	_, err = run(root, nil, "go", "run", "github.com/syumai/workers/cmd/workers-assets-gen", "-mode", "go", "-o", abs)
	if err != nil {
		return err
	}
	for _, b := range versions {
		if b == '\'' {
			return &MarkError{File: VersionsFile, Mark: "'", Found: 1}
		}
	}
	if err := Wasm(root, "./wasm/edge", filepath.Join(abs, "app.wasm"), "-X 'main.versions="+string(versions)+"'"); err != nil {
		return err
	}
	config, err := os.ReadFile(filepath.Join(root, "wasm", "edge", "config.capnp"))
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(abs, "config.capnp"), config, 0o644)
}
