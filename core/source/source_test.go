package source

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"isthmus/core/testkit"
)

var (
	declares = regexp.MustCompile(`(?m)^\t([A-Z]\w*)\s+Key = "([a-z0-9.-]+)"`)
	cites    = regexp.MustCompile(`\bsource\.([A-Z]\w*)`)
)

// keys returns the name and the value of every Key constant.
func keys(t *testing.T) map[string]Key {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(testkit.Root(t), "core/source/source.go"))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]Key{}
	for _, m := range declares.FindAllStringSubmatch(string(b), -1) {
		out[m[1]] = Key(m[2])
	}
	if len(out) < 20 {
		t.Fatalf("only %d keys found: this test reads the wrong thing", len(out))
	}
	return out
}

func TestEveryKeyIsRegistered(t *testing.T) {
	names := keys(t)
	for name, k := range names {
		s, ok := Find(k)
		if !ok {
			t.Errorf("%s (%q) has no entry in the register", name, k)
			continue
		}
		if len(s.Citation) < 15 || strings.TrimSpace(s.Citation) != s.Citation {
			t.Errorf("%s: citation %q tells a reader nothing", name, s.Citation)
		}
	}
	if len(All()) != len(names) {
		t.Errorf("%d entries for %d keys", len(All()), len(names))
	}
}

func TestEntriesAreSound(t *testing.T) {
	known := map[Seen]bool{Read: true, Abstract: true, Derived: true, Practice: true, Memory: true}
	key, text := map[Key]bool{}, map[string]bool{}
	for _, s := range All() {
		if !known[s.Seen] {
			t.Errorf("%s: seen %q is none of the ways we know things", s.Key, s.Seen)
		}
		if key[s.Key] || text[s.Citation] {
			t.Errorf("%s is registered twice", s.Key)
		}
		key[s.Key], text[s.Citation] = true, true
	}
}

func TestFindUnknown(t *testing.T) {
	for _, k := range []Key{"", "nobody-2099"} {
		if s, ok := Find(k); ok || s != (Source{}) {
			t.Errorf("Find(%q) = %v, want none", k, s)
		}
	}
	All()[0].Citation = "broken"
	if All()[0].Citation == "broken" {
		t.Error("a caller can change the register")
	}
}

// Every key is cited by a method or by code that decides or measures, and code
// cites no name that is not a key.
func TestEveryKeyIsCited(t *testing.T) {
	names := keys(t)
	words := map[string]bool{"Key": true, "Source": true, "Seen": true, "All": true, "Find": true,
		"Read": true, "Abstract": true, "Derived": true, "Practice": true, "Memory": true,
		"Part": true, "Parts": true, "Scale": true, "Bone": true, "Nail": true, "Reaming": true, "HeadScrews": true, "Locking": true, "Kit": true, "Alignment": true, "Union": true, "Removal": true, "Doubt": true,
		"Method": true, "Methods": true, "FindMethod": true, "Contradiction": true, "Contradictions": true}
	cited := map[string]bool{}
	files := 0
	for _, top := range []string{"core", "app"} {
		err := filepath.WalkDir(filepath.Join(testkit.Root(t), top), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			b, err := os.ReadFile(path)
			if err != nil || !strings.Contains(string(b), `"isthmus/core/source"`) {
				return err
			}
			files++
			for _, m := range cites.FindAllStringSubmatch(string(b), -1) {
				cited[m[1]] = true
				if _, ok := names[m[1]]; !ok && !words[m[1]] {
					t.Errorf("%s cites source.%s, which is not in the register", path, m[1])
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if files < 3 {
		t.Fatalf("only %d files cite a source: this test looks in the wrong place", files)
	}
	byMethod := map[Key]bool{}
	for _, m := range Methods() {
		for _, k := range m.Sources {
			byMethod[k] = true
		}
	}
	for name, key := range names {
		if !cited[name] && !byMethod[key] {
			t.Errorf("nobody cites source.%s: cite it where it is used, or take it out", name)
		}
	}
}
