// Package build makes the folder that the browser gets: it compiles the wasm
// programs, copies the static files, and writes which bytes belong together.
// It also makes the edge worker and fetches what only tests need from npm.
// Everything it makes lies in .build below the module root.
package build

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// A Program is one wasm binary of the site and the package it comes from.
type Program struct {
	File, Package string
	Page          bool // built for the page: see pageFlags
	Plain         bool // sent as the linker wrote it, as a floor to measure against
}

// Programs returns the two programs of the app: the page and the film worker.
func Programs() []Program {
	return []Program{{File: "app.wasm", Package: "./wasm/app", Page: true}, {File: "film.wasm", Package: "./wasm/film"}}
}

// A CommandError reports a command that failed, with what it printed.
type CommandError struct {
	Command string
	Output  string
	Cause   error
}

// Code names the fault.
func (e *CommandError) Code() string { return "build-command" }

func (e *CommandError) Error() string {
	return fmt.Sprintf("build: %s failed (%v): read what it printed and repair that first\n%s", e.Command, e.Cause, e.Output)
}

func (e *CommandError) Unwrap() error { return e.Cause }

// A NoModuleError reports that the command was started outside the project.
type NoModuleError struct{ Dir string }

// Code names the fault.
func (e *NoModuleError) Code() string { return "build-no-module" }

func (e *NoModuleError) Error() string {
	return fmt.Sprintf("build: no go.mod above %s: start the command inside the project", e.Dir)
}

// Root returns the folder of go.mod, as the go command sees it from the
// working folder.
func Root() (string, error) {
	out, err := run("", nil, "go", "env", "GOMOD")
	if err != nil {
		return "", err
	}
	mod := strings.TrimSpace(out)
	if mod == "" || mod == os.DevNull {
		dir, _ := os.Getwd()
		return "", &NoModuleError{Dir: dir}
	}
	return filepath.Dir(mod), nil
}

// Wasm compiles a package for the browser into file. The go command itself
// knows whether anything changed: it compares the content of every source
// file, the module file, the flags and the toolchain, and answers in a
// fifth of a second when the binary is up to date.
func Wasm(root, pkg, file string, ldflags string, more ...string) error {
	args := []string{"build", "-trimpath", "-ldflags", strings.TrimSpace("-s -w " + ldflags)}
	args = append(append(args, more...), "-o", file, pkg)
	_, err := run(root, []string{"GOOS=js", "GOARCH=wasm"}, "go", args...)
	return err
}

// run starts a command in a folder and returns what it printed on its
// standard output, or a *CommandError that holds all it printed.
func run(dir string, env []string, name string, args ...string) (string, error) {
	cmd := exec.Command(name, args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), env...)
	var out, all bytes.Buffer
	cmd.Stdout = io.MultiWriter(&out, &all)
	cmd.Stderr = &all
	if err := cmd.Run(); err != nil {
		line := name + " " + strings.Join(args, " ")
		if len(line) > 200 {
			line = line[:200] + " …"
		}
		return "", &CommandError{Command: line, Output: all.String(), Cause: err}
	}
	return out.String(), nil
}
