package core_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"isthmus/core/source"
	"isthmus/core/testkit"
)

// Every method says what a person who asks why needs, and cites only what is
// registered.
func TestMethodsAreWhole(t *testing.T) {
	seen, part := map[string]bool{}, map[source.Part]int{}
	for _, m := range source.Methods() {
		if seen[m.Key] {
			t.Errorf("%s is there twice", m.Key)
		}
		seen[m.Key] = true
		part[m.Part]++
		for name, text := range map[string]string{"key": m.Key, "title": m.Title, "formula": m.Formula, "limits": m.Limits, "check": m.Check} {
			if text == "" || strings.TrimSpace(text) != text {
				t.Errorf("%s: no %s", m.Key, name)
			}
		}
		if len(m.Inputs) == 0 || len(m.Sources) == 0 || len(m.Code) == 0 {
			t.Errorf("%s: inputs %v, sources %v, code %v: each must name something", m.Key, m.Inputs, m.Sources, m.Code)
		}
		for _, k := range m.Sources {
			if _, ok := source.Find(k); !ok {
				t.Errorf("%s cites %q, which is not registered", m.Key, k)
			}
		}
		if regexp.MustCompile(`[^ ] ?\*|\d-\d|--| - `).MatchString(m.Formula + m.Limits + m.Check) {
			t.Errorf("%s: a formula has a typewriter sign where ·, − or – belongs", m.Key)
		}
	}
	for _, p := range source.Parts() {
		if part[p] == 0 {
			t.Errorf("no method of part %q", p)
		}
		delete(part, p)
	}
	if len(part) > 0 {
		t.Errorf("methods of unknown parts: %v", part)
	}
}

func TestContradictionsAreWhole(t *testing.T) {
	if len(source.Contradictions()) == 0 {
		t.Fatal("none")
	}
	for _, c := range source.Contradictions() {
		if c.Topic == "" || c.A == "" || c.B == "" || c.Handling == "" {
			t.Errorf("%+v leaves something out", c)
		}
		if _, ok := source.FindMethod(c.Of); !ok {
			t.Errorf("%s: there is no method %q", c.Topic, c.Of)
		}
	}
}

// Every worked example is worked out again through core; see
// methods_*_test.go for where each number comes from.
func TestMethodChecks(t *testing.T) {
	tried := 0
	for _, m := range source.Methods() {
		again, ok := examples[m.Key]
		if !ok {
			t.Errorf("%s: its example is not worked out again: add it to examples", m.Key)
			continue
		}
		tried++
		t.Run(m.Key, func(t *testing.T) {
			found := again(t)
			if len(found) == 0 {
				t.Fatal("nothing was worked out")
			}
			rest := m.Check
			for _, s := range found { // in the order of the text, each once
				_, after, ok := strings.Cut(rest, s)
				if !ok {
					t.Fatalf("core gives %q, which the example does not say (there): %s", s, m.Check)
				}
				rest = after
			}
		})
	}
	if tried < len(examples) {
		t.Errorf("%d examples for %d methods: one belongs to no method", len(examples), tried)
	}
}

var (
	function = regexp.MustCompile(`(?m)^func (?:\([^)]*\) )?(\w+)(?:\[[^\]]*\])?\(`)
	formula  = regexp.MustCompile(`(?m)((?:^//.*\n)*^//\t.*\n(?:^//.*\n)*)^func (?:\([^)]*\) )?([A-Z]\w*)\(`)
)

// Every function that a method names exists; every function that has a formula
// in its comment and is called from another room is in a method; and a method
// is Idle exactly when none of its functions is used.
func TestMethodsAndCode(t *testing.T) {
	code := sources(t)
	inMethod := map[string]bool{}
	for _, m := range source.Methods() {
		used := false
		for _, name := range m.Code {
			inMethod[name] = true
			room, fn, _ := strings.Cut(name, ".")
			if !declared(code, room, fn[strings.LastIndex(fn, ".")+1:]) {
				t.Errorf("%s names %s, which does not exist", m.Key, name)
			}
			used = used || called(code, room, fn)
		}
		switch {
		case m.Idle && used:
			t.Errorf("%s is used now: take Idle away, and it is on the screen of methods", m.Key)
		case !m.Idle && !used:
			t.Errorf("%s: none of %v is used outside its file: say Idle, or take it out", m.Key, m.Code)
		}
	}
	found := 0
	for path, text := range code {
		room := filepath.Base(filepath.Dir(path))
		if !withFormulas[room] || !strings.Contains(path, "core/") {
			continue
		}
		for _, hit := range formula.FindAllStringSubmatch(text, -1) {
			found++
			name := room + "." + hit[2]
			if calledFrom(code, room, hit[2]) && !inMethod[name] {
				t.Errorf("%s has a formula, is used, and is in no method: write one in core/source", name)
			}
		}
	}
	if found < 20 {
		t.Errorf("only %d formulas found in comments: this test reads the wrong thing", found)
	}
}

// withFormulas are the rooms whose formulas are the surgeon's business.
var withFormulas = map[string]bool{"calibrate": true, "find": true, "measure": true, "neck": true, "plan": true}

// sources returns the Go files of core, app and wasm that are no tests.
func sources(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	root := testkit.Root(t)
	for _, top := range []string{"core", "app", "wasm"} {
		err := filepath.WalkDir(filepath.Join(root, top), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			b, err := os.ReadFile(path)
			rel, _ := filepath.Rel(root, path)
			out[filepath.ToSlash(rel)] = string(b)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(out) < 50 {
		t.Fatalf("only %d files: this test looks in the wrong place", len(out))
	}
	return out
}

func inRoom(path, room string) bool { return strings.HasPrefix(path, "core/"+room+"/") }

func declared(code map[string]string, room, fn string) bool {
	for path, text := range code {
		if !inRoom(path, room) {
			continue
		}
		for _, hit := range function.FindAllStringSubmatch(text, -1) {
			if hit[1] == fn {
				return true
			}
		}
	}
	return false
}

// called reports whether a function is used: from another room, or, when it is
// the room's own (core/plan decides with its own functions), inside it.
func called(code map[string]string, room, fn string) bool {
	if calledFrom(code, room, fn) {
		return true
	}
	own := room == "plan" || room == "units" || fn[0] >= 'a' && fn[0] <= 'z'
	call := regexp.MustCompile(`[^\w"]` + fn + `[(\[]`)
	for path, text := range code {
		if own && inRoom(path, room) || (room == "calibrate" && inRoom(path, room)) {
			for _, line := range strings.Split(text, "\n") {
				trimmed := strings.TrimSpace(line)
				if !strings.HasPrefix(trimmed, "//") && !strings.HasPrefix(trimmed, "func ") && call.MatchString(line) {
					return true
				}
			}
		}
	}
	return false
}

// calledFrom reports whether another room uses room.fn. For Type.fn it looks
// for the method on something that is called as its type is.
func calledFrom(code map[string]string, room, fn string) bool {
	use := regexp.MustCompile(`\b` + room + `\.` + fn + `\b`)
	if kind, method, is := strings.Cut(fn, "."); is {
		use = regexp.MustCompile(`(?i)\b` + kind + `\.` + method + `\(`)
	}
	for path, text := range code {
		if inRoom(path, room) || !strings.Contains(text, `"isthmus/core/`+room+`"`) {
			continue
		}
		if use.MatchString(text) {
			return true
		}
	}
	return false
}
