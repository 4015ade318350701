//go:build unix

package build

import (
	"os"
	"path/filepath"
	"syscall"
)

// lock lets one build at a time write below .build, also across processes:
// tests of several packages may want the site at the same moment. The lock
// ends with the process that holds it.
func lock(root string) (unlock func(), err error) {
	dir := filepath.Join(root, ".build")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(filepath.Join(dir, "lock"), os.O_CREATE|os.O_RDWR, 0o644)
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX); err != nil {
		f.Close()
		return nil, err
	}
	return func() { f.Close() }, nil
}
