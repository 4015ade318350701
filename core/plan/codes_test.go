package plan

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"isthmus/core/source"
	"isthmus/core/testkit"
)

// ownCode returns the room's Go files except tests and the table of codes.
func ownCode(t *testing.T) string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(testkit.Root(t), "core", "plan", "*.go"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no Go files: %v", err)
	}
	var all strings.Builder
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") || strings.HasPrefix(filepath.Base(f), "codes") {
			continue
		}
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(b)
	}
	return all.String()
}

var given1 = regexp.MustCompile(`(?:why|trouble)\("([a-z0-9-]+)"`)

func TestEveryCodeGivenIsInTheTable(t *testing.T) {
	src := ownCode(t)
	found := given1.FindAllStringSubmatch(src, -1)
	if len(found) < 50 {
		t.Fatalf("only %d codes found in the source", len(found))
	}
	for _, m := range found {
		c, ok := find(m[1])
		if !ok {
			t.Errorf("%s is given and not in the table", m[1])
		}
		if reason := strings.HasPrefix(m[0], "why"); reason != c.Reason() {
			t.Errorf("%s is given as the wrong kind", m[1])
		}
	}
}

func TestEveryCodeOfTheTableIsGiven(t *testing.T) {
	src := ownCode(t)
	seen := map[string]bool{}
	for _, c := range Codes() {
		if seen[c.Name] {
			t.Errorf("%s is in the table twice", c.Name)
		}
		seen[c.Name] = true
		if !strings.Contains(src, `"`+c.Name+`"`) {
			t.Errorf("nobody gives %s", c.Name)
		}
		if c.Reason() && len(c.Sources) == 0 {
			t.Errorf("reason %s has no source", c.Name)
		}
		if !c.Reason() && c.Part == "" {
			t.Errorf("problem %s belongs nowhere", c.Name)
		}
	}
}

// checkPlan walks a whole plan: each reason and problem is in the table with
// exactly its facts, each source is in the register, every number is one.
func checkPlan(t *testing.T, pl Plan) {
	t.Helper()
	if _, err := json.Marshal(pl); err != nil { // fails on NaN and infinity
		t.Fatalf("the plan holds a number that is none: %v", err)
	}
	walk(reflect.ValueOf(pl), func(v reflect.Value) {
		switch x := v.Interface().(type) {
		case Reason:
			checkCode(t, x.Code, true, x.Facts, x.Sources)
		case Problem:
			checkCode(t, x.Code, false, x.Facts, x.Sources)
			if x.Level == "" || x.Part == "" {
				t.Errorf("%s has no level or part", x.Code)
			}
		}
	})
}

func checkCode(t *testing.T, code string, reason bool, facts []Fact, sources []source.Key) {
	t.Helper()
	c, ok := find(code)
	if !ok || c.Reason() != reason {
		t.Errorf("%q is not in the table", code)
		return
	}
	var names []string
	for _, f := range facts {
		names = append(names, f.Name)
		if f.Length == nil && f.Angle == nil && f.Number == nil && f.Word == "" && f.Name != "pattern" && f.Name != "side" {
			t.Errorf("%s: fact %s is empty", code, f.Name)
		}
	}
	if !slices.Equal(names, c.Facts) {
		t.Errorf("%s carries %v, the table says %v", code, names, c.Facts)
	}
	for _, k := range sources {
		if _, ok := source.Find(k); !ok {
			t.Errorf("%s cites %q, which is not in the register", code, k)
		}
	}
}

func walk(v reflect.Value, visit func(reflect.Value)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			walk(v.Elem(), visit)
		}
	case reflect.Slice:
		for i := range v.Len() {
			walk(v.Index(i), visit)
		}
	case reflect.Struct:
		visit(v)
		for i := range v.NumField() {
			walk(v.Field(i), visit)
		}
	}
}
