package build

import (
	"encoding/json"
	"os"
	"path/filepath"
)

// An NPMPackage is a package that only tests need, with its exact version.
type NPMPackage struct{ Name, Version string }

// TestPackages returns what the tests take from npm: the edge runtime, an
// IndexedDB for node, and the accessibility checker.
func TestPackages() []NPMPackage {
	return []NPMPackage{{"workerd", "1.20261117.1"}, {"fake-indexeddb", "6.2.8"}, {"axe-core", "4.14.1"}}
}

// NPM installs what is missing of the test packages into .build/npm, without
// running their scripts, and returns the node_modules folder.
func NPM(root string) (string, error) {
	unlock, err := lock(root)
	if err != nil {
		return "", err
	}
	defer unlock()
	dir := filepath.Join(root, ".build", "npm")
	modules := filepath.Join(dir, "node_modules")
	args := []string{"install", "--prefix", dir, "--no-audit", "--no-fund", "--ignore-scripts", "--save-exact"}
	missing := 0
	for _, p := range TestPackages() {
		if installed(modules, p) {
			continue
		}
		missing++
		args = append(args, p.Name+"@"+p.Version)
	}
	if missing == 0 {
		return modules, nil
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", err
	}
	_, err = run(dir, nil, "npm", args...)
	return modules, err
}

func installed(modules string, p NPMPackage) bool {
	b, err := os.ReadFile(filepath.Join(modules, p.Name, "package.json"))
	if err != nil {
		return false
	}
	var have struct {
		Version string `json:"version"`
	}
	return json.Unmarshal(b, &have) == nil && have.Version == p.Version
}
