package slim

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// probe uses what the tables of a program are for: growing stacks, collecting
// garbage while they are deep, panics, names of inlined functions.
const probe = `package main

import (
	"errors"
	"fmt"
	"os"
	"runtime"
	"runtime/debug"
	"strings"
)

type tree struct{ left, right *tree }

func grow(n int) *tree {
	if n == 0 {
		return &tree{}
	}
	if n%4 == 0 {
		runtime.GC()
	}
	return &tree{grow(n - 1), grow(n - 1)}
}

func (t *tree) count() int {
	if t == nil {
		return 0
	}
	return 1 + t.left.count() + t.right.count()
}

func small() string { return who() } // inlined

//go:noinline
func who() string {
	var pc [8]uintptr
	frames := runtime.CallersFrames(pc[:runtime.Callers(2, pc[:])])
	f, _ := frames.Next()
	return f.Function
}

func fail(kind int) (err error) {
	defer func() { err = fmt.Errorf("caught: %v", recover()) }()
	var none *tree
	var short []int
	switch kind {
	case 0:
		return errors.New(fmt.Sprint(none.left))
	case 1:
		return errors.New(fmt.Sprint(short[kind]))
	case 2:
		return errors.New(fmt.Sprint(kind / len(short)))
	}
	panic("by hand")
}

func main() {
	fmt.Println(grow(12).count(), small())
	for k := range 4 {
		fmt.Println(fail(k))
	}
	fmt.Println(strings.Contains(string(debug.Stack()), "main.main"))
	done := make(chan int)
	go func() { done <- grow(8).count() }()
	fmt.Println(<-done)
	if len(os.Args) > 1 {
		panic("the end")
	}
}
`

// compiled returns a program of the toolchain at hand.
func compiled(t testing.TB) []byte {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{"main.go": probe, "go.mod": "module probe\n\ngo 1.24\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", "probe.wasm", ".")
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	b, err := os.ReadFile(filepath.Join(dir, "probe.wasm"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// ran returns what a program prints under node, its trace too.
func ran(t *testing.T, b []byte, args ...string) string {
	t.Helper()
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "probe.wasm")
	if err := os.WriteFile(file, b, 0o644); err != nil {
		t.Fatal(err)
	}
	script := filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec_node.js")
	out, err := exec.Command("node", append([]string{"--stack-size=8192", script, file}, args...)...).CombinedOutput()
	if err != nil && len(args) == 0 {
		t.Fatalf("%v\n%s", err, out)
	}
	return string(out)
}

// What is sent does what was compiled; a trace still names functions. This is
// also what fails when a new toolchain writes another table.
func TestGoRunsTheSame(t *testing.T) {
	if _, err := exec.LookPath("node"); err != nil {
		t.Fatal("node is needed to run WebAssembly: install it")
	}
	b := compiled(t)
	original := bytes.Clone(b)
	s, err := Go(b)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(b, original) {
		t.Error("the program that was given has changed")
	}
	want, got := ran(t, b), ran(t, s)
	if got != want || !strings.Contains(want, "8191 main.small\n") || strings.Count(want, "caught: ") != 4 {
		t.Errorf("printed\n%s\nwant\n%s", got, want)
	}
	trace := ran(t, s, "fail")
	if !strings.Contains(trace, "panic: the end") || !strings.Contains(trace, "main.main()") {
		t.Errorf("a trace without names:\n%s", trace)
	}
	if again, err := Go(s); err != nil || !bytes.Equal(again, s) {
		t.Errorf("a second time: %v", err)
	}
}

// Joining changes no byte of the memory that a program starts with.
func TestJoinKeepsMemory(t *testing.T) {
	b := compiled(t)
	j, err := Join(b)
	if err != nil {
		t.Fatal(err)
	}
	was, is := parsed(t, b), parsed(t, j)
	if !bytes.Equal(was.memory, is.memory) || !bytes.Equal(was.before, is.before) || !bytes.Equal(was.after, is.after) {
		t.Error("memory or code differ")
	}
	if len(was.pieces) < 1000 || len(is.pieces) > 200 {
		t.Errorf("%d pieces became %d", len(was.pieces), len(is.pieces))
	}
}

func parsed(t *testing.T, b []byte) *module {
	t.Helper()
	m, err := parse(b)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// program writes a program by hand: one custom section, data, one section more.
func program(data ...byte) []byte {
	b := append(bytes.Clone(magic), 0, 2, 1, 'x', sectionData)
	b = append(putUint(b, len(data)), data...)
	return append(b, 0, 2, 1, 'y')
}

// By hand, from the binary format: two pieces with three zeros between.
func TestJoin(t *testing.T) {
	got, err := Join(program(2, 0, 0x41, 8, 0x0B, 2, 'a', 'b', 0, 0x41, 13, 0x0B, 1, 'c'))
	want := program(1, 0, 0x41, 8, 0x0B, 6, 'a', 'b', 0, 0, 0, 'c')
	if err != nil || !bytes.Equal(got, want) {
		t.Errorf("% x, %v\nwant % x", got, err, want)
	}
	falling := program(2, 0, 0x41, 13, 0x0B, 1, 'c', 0, 0x41, 8, 0x0B, 2, 'a', 'b')
	if got, err := Join(falling); err != nil || !bytes.Equal(got, want) {
		t.Errorf("in falling order: % x, %v", got, err)
	}
	far := program(2, 0, 0x41, 8, 0x0B, 1, 'a', 0, 0x41, 0xC9, 0, 0x0B, 1, 'c') // 64 zeros between
	if got, err := Join(far); err != nil || !bytes.Equal(got, far) {
		t.Errorf("far apart: % x, %v", got, err)
	}
}

// One fault each; every one is refused with its code, and none is half done.
func TestRefuses(t *testing.T) {
	ok := program(1, 0, 0x41, 8, 0x0B, 1, 'a')
	for _, tt := range []struct {
		name string
		b    []byte
	}{
		{"nothing", nil},
		{"another format", []byte("%PDF-1.7 and more")},
		{"another version", append([]byte("\x00asm\x02\x00\x00\x00"), ok[8:]...)},
		{"no data", magic},
		{"cut in a section", ok[:len(ok)-6]},
		{"size of a section longer than five bytes", append(bytes.Clone(magic), sectionData, 0x80, 0x80, 0x80, 0x80, 0x80, 1)},
		{"a piece that is not placed at the start", program(1, 1, 1, 'a')},
		{"a piece at a variable place", program(1, 0, 0x23, 0, 0x0B, 1, 'a')},
		{"a piece at a negative place", program(1, 0, 0x41, 0x7F, 0x0B, 1, 'a')},
		{"pieces over each other", program(2, 0, 0x41, 8, 0x0B, 2, 'a', 'b', 0, 0x41, 9, 0x0B, 1, 'c')},
		{"two pieces at one place", program(2, 0, 0x41, 8, 0x0B, 1, 'a', 0, 0x41, 8, 0x0B, 1, 'c')},
		{"an empty piece", program(1, 0, 0x41, 8, 0x0B, 0)},
		{"a piece longer than its section", program(1, 0, 0x41, 8, 0x0B, 9, 'a')},
		{"bytes after the last piece", program(1, 0, 0x41, 8, 0x0B, 1, 'a', 'b')},
		{"fewer pieces than said", program(2, 0, 0x41, 8, 0x0B, 1, 'a')},
		{"a place over the limit", program(1, 0, 0x41, 0x81, 0x80, 0x80, 0x80, 1, 0x0B, 1, 'a')},
	} {
		got, err := Join(tt.b)
		var e *FormatError
		if !errors.As(err, &e) || got != nil || e.Code() != "slim-format" || !strings.Contains(e.Error(), "as it is") {
			t.Errorf("%s: %v, %v", tt.name, got != nil, err)
		}
	}
	var e *FormatError
	if _, err := Go(ok); !errors.As(err, &e) {
		t.Errorf("no table of functions: %v", err)
	}
}

// Damage in the table of functions: refused, or another program of the same
// length; never a panic.
func FuzzGo(f *testing.F) {
	f.Add(program(1, 0, 0x41, 8, 0x0B, 1, 'a'))
	f.Add(program(2, 0, 0x41, 8, 0x0B, 2, 'a', 'b', 0, 0x41, 13, 0x0B, 1, 'c'))
	f.Add(table())
	f.Fuzz(func(t *testing.T, b []byte) {
		s, err := Go(b)
		var e *FormatError
		if err != nil && (!errors.As(err, &e) || s != nil) {
			t.Fatal(err)
		}
		if err == nil {
			if again, err := Go(s); err != nil || !bytes.Equal(again, s) {
				t.Fatalf("a second time: %v", err)
			}
		}
	})
}

// table is a program with a table of one function, by hand from the layout.
func table() []byte {
	m := make([]byte, 8)
	m = append(m, pclnMagic...)
	for _, v := range []byte{1, 1, 0, 72, 74, 78, 82, 94} { // functions, files, text, names, units, files, strings, records
		m = append(m, v, 0, 0, 0, 0, 0, 0, 0)
	}
	m = append(m, "f\x00"+"\x00\x00\x00\x00"+"a.go"...)
	m = append(m, 0, 2, 9, 0, 4, 9, 0, 6, 9, 0, 0, 0)  // strings at 1 (stack), 4 (file), 7 (line)
	m = append(m, 0, 0, 0, 0, 12, 0, 0, 0, 9, 0, 0, 0) // the only entry, and the end
	rec := make([]byte, funcSize)
	rec[atStack], rec[atFile], rec[atLine] = 1, 4, 7
	m = append(m, rec...)
	data := append(putUint([]byte{1, 0, 0x41, 0, 0x0B}, len(m)), m...)
	return program(data...)
}

// By hand: file and line go, the stack stays.
func TestDropLines(t *testing.T) {
	s, err := Go(table())
	if err != nil {
		t.Fatal(err)
	}
	m := parsed(t, s).memory
	if got := m[8+82 : 8+94]; !bytes.Equal(got, []byte{0, 2, 9, 0, 0, 0, 0, 0, 0, 0, 0, 0}) {
		t.Errorf("strings % x", got)
	}
	if rec := m[8+94+12:]; rec[atStack] != 1 || rec[atFile] != 0 || rec[atLine] != 0 {
		t.Errorf("record % x", rec)
	}
	for at, v := range map[int]byte{8 + 82 + 1: 0x80, 8 + 94 + 4: 200, 8 + 8: 77, 8 + 94 + 12 + atCount: 65} {
		b := table()
		i := bytes.Index(b, pclnMagic) - 8 + at
		b[i] = v
		if v == 0x80 { // a number that never ends
			for k := range 6 {
				b[i+k] = v
			}
		}
		var e *FormatError
		if got, err := Go(b); !errors.As(err, &e) || got != nil {
			t.Errorf("byte %d = %d: %v", at, v, err)
		}
	}
}
