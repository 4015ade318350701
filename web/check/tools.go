package main

import (
	"maps"
	"os"
	"os/exec"
	"slices"
	"strings"

	"isthmus/web/build"
)

func sorted(m map[string]string) []string { return slices.Sorted(maps.Keys(m)) }

// programs are what the tests start beside Go, each with the names it may
// have and the Debian package that brings it.
var programs = []struct {
	names []string
	deb   string
}{
	{[]string{"chromium", "chromium-browser", "google-chrome", "chrome"}, "chromium"},
	{[]string{"node"}, "nodejs"},
	{[]string{"npm"}, "npm"},
}

// tools installs what is missing: programs by apt-get where that is allowed,
// npm packages into .build/npm.
func (r *Run) tools() error {
	var missing []string
	for _, p := range programs {
		if !slices.ContainsFunc(p.names, has) {
			missing = append(missing, p.deb)
		}
	}
	if len(missing) > 0 {
		if err := r.apt(missing); err != nil {
			return err
		}
	}
	_, err := build.NPM(r.root)
	return err
}

func has(program string) bool {
	_, err := exec.LookPath(program)
	return err == nil
}

func (r *Run) apt(packages []string) error {
	if os.Getuid() != 0 || !has("apt-get") {
		return &StepError{"tools", "these are missing: " + strings.Join(packages, ", "), "install them, or start the command as root on Debian"}
	}
	r.say("   installing %s", strings.Join(packages, ", "))
	env := []string{"DEBIAN_FRONTEND=noninteractive"}
	if out, err := r.output(env, "apt-get", "update"); err != nil {
		return &StepError{"tools", "apt-get update failed:\n" + out, "see what it says"}
	}
	args := append([]string{"install", "-y", "--no-install-recommends", "fonts-dejavu-core"}, packages...)
	if out, err := r.output(env, "apt-get", args...); err != nil {
		return &StepError{"tools", "apt-get install failed:\n" + out, "see what it says"}
	}
	return nil
}
