package core

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// rooms lists every package and the rooms of ours it may import.
// This is policy: widen it only with a dated line in DEVELOPERS.md.
var rooms = map[string]string{
	"core":                "",
	"core/units":          "",
	"core/anatomy":        "",
	"core/source":         "",
	"core/canon":          "",
	"core/chance":         "",
	"core/geom":           "core/units",
	"core/radiograph":     "core/geom core/units",
	"core/calibrate":      "core/geom core/units core/source",
	"core/find":           "core/geom core/units",
	"core/measure":        "core/anatomy core/calibrate core/geom core/units core/source",
	"core/neck":           "core/geom core/units core/source",
	"core/implant":        "core/anatomy core/units core/canon",
	"core/record":         "core/anatomy core/geom core/units core/canon",
	"core/plan":           "core/record core/measure core/neck core/calibrate core/implant core/anatomy core/geom core/units core/source core/chance",
	"core/practice":       "core/plan core/record core/measure core/implant core/anatomy core/geom core/units",
	"core/phantom":        "core/geom core/units core/anatomy core/chance",
	"core/testkit":        "core/geom core/units",
	"app/viewer":          "core/geom core/units",
	"app/text":            "core/*",
	"app/drawing":         "core/plan core/measure core/implant core/record core/calibrate core/anatomy core/geom core/units",
	"app/state":           "core/record core/plan core/practice core/calibrate core/implant core/anatomy core/geom core/units",
	"app/state/storetest": "app/state",
	"app/screen":          "app/state app/viewer app/text app/drawing core/*",
	"app/cli":             "app/text app/drawing core/*",
	"wasm/app":            "app/* wasm/store wasm/files core/*",
	"wasm/film":           "core/radiograph core/record core/units core/geom core/find core/phantom",
	"wasm/edge":           "web/api",
	"wasm/store":          "app/state",
	"wasm/files":          "app/state",
	"web":                 "web/server web/build web/api",
	"web/api":             "",
	"web/build":           "web/slim",
	"web/slim":            "",
	"web/server":          "web/api",
	"web/static":          "",
	"web/check":           "web/build",
	"web/bench":           "web/build web/server web/browser core/record",
	"web/bench/kernels":   "core/radiograph core/find core/phantom core/anatomy core/geom core/units",
	"web/browser":         "*",
}

// outside lists what would let the world into core.
var outside = []string{"syscall/js", "net", "net/http", "os", "time", "math/rand", "math/rand/v2", "log", "log/slog", "os/exec"}

const ours = "isthmus/"

func TestRooms(t *testing.T) {
	seen := 0
	for _, top := range []string{"core", "app", "wasm", "web"} {
		err := filepath.WalkDir(filepath.Join("..", top), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.IsDir() && (d.Name() == "node_modules" || strings.HasPrefix(d.Name(), ".") && d.Name() != "..") {
				return filepath.SkipDir
			}
			if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return nil
			}
			seen++
			return checkImports(t, path)
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if seen < 10 {
		t.Fatalf("only %d Go files found: this test is looking in the wrong place", seen)
	}
}

func checkImports(t *testing.T, path string) error {
	rel, _ := filepath.Rel("..", path)
	room := filepath.ToSlash(filepath.Dir(rel))
	may, known := rooms[room]
	if !known {
		t.Errorf("%s: room %q is not on the list", rel, room)
	}
	f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
	if err != nil {
		return err
	}
	for _, imp := range f.Imports {
		p, err := strconv.Unquote(imp.Path.Value)
		if err != nil {
			return err
		}
		checkImport(t, filepath.ToSlash(rel), room, may, p)
	}
	return nil
}

func checkImport(t *testing.T, rel, room, may, p string) {
	if strings.HasPrefix(room, "core") && room != "core/testkit" && slices.Contains(outside, p) {
		t.Errorf("%s imports %s: core takes time, files and chance as arguments", rel, p)
	}
	if strings.Contains(p, "go-app") && room != "app/screen" && room != "wasm/app" {
		t.Errorf("%s imports go-app: only app/screen knows it", rel)
	}
	if p == "syscall/js" && !strings.HasPrefix(room, "wasm/") && !(room == "app/screen" && strings.HasSuffix(rel, "_js.go")) {
		t.Errorf("%s imports syscall/js: it lives under wasm and in app/screen/*_js.go", rel)
	}
	if p == "isthmus/core/testkit" {
		t.Errorf("%s imports core/testkit: it is for tests", rel)
	}
	if r, is := strings.CutPrefix(p, ours); is && !allowed(may, r) {
		t.Errorf("%s: %s may not import %s", rel, room, r)
	}
}

func allowed(may, room string) bool {
	for _, m := range strings.Fields(may) {
		pre, wild := strings.CutSuffix(m, "*")
		if m == room || wild && strings.HasPrefix(room, pre) {
			return true
		}
	}
	return false
}

// The page is downloaded before anything is seen, so what only the film worker
// needs is never linked into it: the reader of films, and what draws them.
func TestPageStaysLight(t *testing.T) {
	linked := map[string]bool{}
	follow(t, "wasm/app", linked)
	for _, heavy := range []string{"core/radiograph", "core/phantom"} {
		if linked[heavy] {
			t.Errorf("wasm/app links %s: ask the film worker instead", heavy)
		}
	}
	worker := map[string]bool{}
	follow(t, "wasm/film", worker)
	if !linked["core/plan"] || !worker["core/phantom"] || worker["core/plan"] {
		t.Error("this test does not see what is linked, or the film worker links the plan")
	}
}

// follow gathers a room and every room of ours that it links.
func follow(t *testing.T, room string, linked map[string]bool) {
	if linked[room] {
		return
	}
	linked[room] = true
	files, err := filepath.Glob(filepath.Join("..", room, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, imp := range f.Imports {
			if p, err := strconv.Unquote(imp.Path.Value); err == nil {
				if r, is := strings.CutPrefix(p, ours); is {
					follow(t, r, linked)
				}
			}
		}
	}
}

// Every room on the list exists and holds Go: the list cannot rot.
func TestRoomsExist(t *testing.T) {
	for room := range rooms {
		files, _ := filepath.Glob(filepath.Join("..", room, "*.go"))
		if len(files) == 0 {
			t.Errorf("room %q is on the list and holds no Go", room)
		}
	}
}

var inBackticks = regexp.MustCompile("`([a-z][a-z0-9_*./-]*)`")
var top = regexp.MustCompile(`^(core|app|wasm|web|testdata)(/|$)`)

// Every path named in DEVELOPERS.md and README.md exists.
func TestPathsInGuides(t *testing.T) {
	for _, guide := range []string{"DEVELOPERS.md", "README.md"} {
		b, err := os.ReadFile(filepath.Join("..", guide))
		if err != nil {
			t.Fatal(err)
		}
		found := 0
		for _, m := range inBackticks.FindAllStringSubmatch(string(b), -1) {
			if !top.MatchString(m[1]) {
				continue
			}
			found++
			if hits, _ := filepath.Glob(filepath.Join("..", m[1])); len(hits) == 0 {
				t.Errorf("%s names %s, which does not exist", guide, m[1])
			}
		}
		if found == 0 && guide == "DEVELOPERS.md" {
			t.Errorf("%s names no path: this test is looking for the wrong thing", guide)
		}
	}
}

var exported = regexp.MustCompile(`(?m)^(//.*\n)?func (\([^)]*\) )?[A-Z]`)

// Every package has one package comment, and exported functions have comments.
func TestComments(t *testing.T) {
	for room := range rooms {
		files, _ := filepath.Glob(filepath.Join("..", room, "*.go"))
		comments := 0
		for _, file := range files {
			if strings.HasSuffix(file, "_test.go") {
				continue
			}
			f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ParseComments|parser.PackageClauseOnly)
			if err != nil {
				t.Fatal(err)
			}
			if f.Doc != nil {
				comments++
			}
			src, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasPrefix(room, "core") {
				continue
			}
			for _, m := range exported.FindAllStringSubmatch(string(src), -1) {
				if m[1] == "" {
					t.Errorf("%s: exported function without a comment: %s…", file, strings.TrimSpace(m[0]))
				}
			}
		}
		if len(files) > 0 && comments != 1 {
			t.Errorf("room %s has %d package comments, want one", room, comments)
		}
	}
}
