//go:build !unix

package build

import (
	"os"
	"path/filepath"
)

// lock makes .build. There is no lock between processes here: start one build
// at a time.
func lock(root string) (unlock func(), err error) {
	return func() {}, os.MkdirAll(filepath.Join(root, ".build"), 0o755)
}
