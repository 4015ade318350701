package canon

import (
	"bytes"
	"encoding/json"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// thing has every kind of value that our files hold.
type thing struct {
	Name  string      `json:"name"`
	Count int         `json:"count"`
	Big   int64       `json:"big"`
	True  bool        `json:"true"`
	Real  float64     `json:"real"`
	May   *float64    `json:"may,omitempty"`
	Word  string      `json:"word,omitempty"`
	Pair  *[2]float64 `json:"pair,omitempty"`
	List  []item      `json:"list,omitempty"`
}

type item struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

var envelope = Envelope{Format: "isthmus-thing", Version: 3, Body: "thing", Max: 4096}

const start = `{"format":"isthmus-thing","version":3,"thing":`
const plain = `{"name":"a","count":1,"big":2,"true":false,"real":1.5}`

func TestReadWrite(t *testing.T) {
	half := 0.5
	want := thing{Name: "q\"\\\n\u2028é😀", Count: -3, Big: 1 << 40, True: true, Real: 1e-9,
		May: &half, Word: "w", Pair: &[2]float64{1, -2}, List: []item{{1, 2}, {3, 4}}}
	b, err := Write(envelope, want)
	if err != nil {
		t.Fatal(err)
	}
	var got thing
	if err := Read(b, envelope, &got); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("read %+v, want %+v", got, want)
	}
	again, _ := Write(envelope, got)
	if !bytes.Equal(again, b) {
		t.Errorf("second writing differs:\n%s\n%s", again, b)
	}
}

func TestWriteSpelling(t *testing.T) {
	b, err := Write(envelope, thing{Name: "<a>", Real: 1})
	want := "{\n\t\"format\": \"isthmus-thing\",\n\t\"version\": 3,\n\t\"thing\": {\n\t\t\"name\": \"<a>\",\n\t\t\"count\": 0,\n\t\t\"big\": 0,\n\t\t\"true\": false,\n\t\t\"real\": 1\n\t}\n}\n"
	if err != nil || string(b) != want {
		t.Errorf("Write = %q, %v, want %q", b, err, want)
	}
}

type brokenFile struct {
	name, file, path string // the path is inside the body
	why              Why
}

// One row a fault; TestEveryWhy refuses a kind of fault without a row.
var broken = []brokenFile{
	{"empty", ``, "", Format},
	{"a list", `[]`, "", Format},
	{"byte order mark", "\ufeff" + start + plain + `}`, "", Format},
	{"other format", `{"format":"isthmus-other","version":3,"thing":{}}`, "format", Format},
	{"format not first", `{"version":3,"format":"isthmus-thing","thing":{}}`, "", Format},
	{"format is a number", `{"format":3}`, "format", Type},
	{"no version", `{"format":"isthmus-thing","thing":{}}`, "version", Format},
	{"version zero", `{"format":"isthmus-thing","version":0,"thing":{}}`, "version", Version},
	{"version negative", `{"format":"isthmus-thing","version":-1,"thing":{}}`, "version", Version},
	{"version with a point", `{"format":"isthmus-thing","version":3.0,"thing":{}}`, "version", Number},
	{"version as text", `{"format":"isthmus-thing","version":"3","thing":{}}`, "version", Type},
	{"no body", `{"format":"isthmus-thing","version":3}`, "thing", Missing},
	{"other body", `{"format":"isthmus-thing","version":3,"case":{}}`, "thing", Missing},
	{"body is null", start + `null}`, "", Type},
	{"more in the envelope", start + plain + `,"x":1}`, "", Syntax},
	{"cut short", start + `{"name":"a"`, "", Syntax},
	{"cut in text", start + `{"name":"a`, "name", Syntax},
	{"two files", start + plain + `}{}`, "", Trailing},
	{"zero byte at the end", start + plain + "}\x00", "", Trailing},
	{"unknown field", start + `{"nam":"a"}}`, "nam", Unknown},
	{"name in capitals", start + `{"Name":"a"}}`, "Name", Unknown},
	{"field twice", start + `{"name":"a","name":"b"}}`, "name", Duplicate},
	{"field missing", start + `{"name":"a","count":1,"true":true,"real":1}}`, "big", Missing},
	{"null for a number", start + `{"count":null}}`, "count", Type},
	{"null for an optional number", start + `{"may":null}}`, "may", Type},
	{"text for a number", start + `{"real":"1.5"}}`, "real", Type},
	{"number for text", start + `{"name":1}}`, "name", Type},
	{"number for truth", start + `{"true":1}}`, "true", Type},
	{"object for a list", start + `{"list":{}}}`, "list", Type},
	{"fraction for a whole number", start + `{"count":1.5}}`, "count", Number},
	{"too big for a whole number", start + `{"big":9223372036854775808}}`, "big", Number},
	{"too big for a number", start + `{"real":1e999}}`, "real", Number},
	{"NaN", start + `{"real":NaN}}`, "real", Syntax},
	{"leading zero", start + `{"real":01}}`, "", Syntax},
	{"leading plus", start + `{"real":+1}}`, "real", Syntax},
	{"no digit after the point", start + `{"real":1.}}`, "real", Syntax},
	{"decimal comma", start + `{"real":1,5}}`, "", Syntax},
	{"comma at the end", start + `{"name":"a",}}`, "", Syntax},
	{"single quotes", start + `{'name':"a"}}`, "", Syntax},
	{"a comment", start + `/* x */{}}`, "", Syntax},
	{"empty optional text", start + `{"word":""}}`, "word", Empty},
	{"empty optional list", start + `{"list":[]}}`, "list", Empty},
	{"not UTF-8", start + "{\"name\":\"\xff\"}}", "name", Text},
	{"half a surrogate pair", start + `{"name":"\ud800"}}`, "name", Text},
	{"unknown escape", start + `{"name":"\x"}}`, "name", Text},
	{"raw tab in text", start + "{\"name\":\"\t\"}}", "name", Syntax},
	{"one of a pair", start + `{"pair":[1]}}`, "pair", Missing},
	{"three of a pair", start + `{"pair":[1,2,3]}}`, "pair", Many},
	{"fault in a list", start + `{"list":[{"x":1,"y":2},{"x":1}]}}`, "list[1].y", Missing},
	{"too large", start + plain + strings.Repeat(" ", 4096) + `}`, "", Size},
}

func TestReadRefuses(t *testing.T) {
	for _, tt := range broken {
		t.Run(tt.name, func(t *testing.T) {
			var f *Fault
			if err := Read([]byte(tt.file), envelope, new(thing)); !errors.As(err, &f) {
				t.Fatalf("Read = %v, want a Fault", err)
			}
			if f.Why != tt.why || f.Path != tt.path {
				t.Errorf("fault %s at %q, want %s at %q: %v", f.Why, f.Path, tt.why, tt.path, f)
			}
		})
	}
}

func TestEveryWhy(t *testing.T) {
	for _, why := range Whys() {
		if !slices.ContainsFunc(broken, func(b brokenFile) bool { return b.why == why }) {
			t.Errorf("no broken file for %q", why)
		}
	}
}

// A later version is named before its content is looked at.
func TestReadNewer(t *testing.T) {
	var newer *NewerError
	err := Read([]byte(`{"format":"isthmus-thing","version":4,"other":[[[`), envelope, new(thing))
	if !errors.As(err, &newer) || newer.Found != 4 || newer.Known != 3 {
		t.Errorf("Read = %v, want a NewerError 4 over 3", err)
	}
}

func TestReadBoundsLists(t *testing.T) {
	e := envelope
	e.Max = 1 << 20
	long := start + `{"list":[` + strings.Repeat(`{"x":1,"y":1},`, maxItems) + `{"x":1,"y":1}]}}`
	var f *Fault
	if err := Read([]byte(long), e, new(thing)); !errors.As(err, &f) || f.Why != Many {
		t.Errorf("Read of %d items = %v, want a fault %q", maxItems+1, err, Many)
	}
}

// Whatever we accept, encoding/json accepts too and reads the same: two
// readers are each other's reference.
func FuzzRead(f *testing.F) {
	for _, tt := range broken {
		f.Add([]byte(tt.file))
	}
	f.Add([]byte(start + `{"name":"\u00e9\ud83d\ude00","count":1,"big":2,"true":true,"real":-0.5e+3,"may":0,"pair":[1,2],"list":[{"x":1,"y":-0}]}}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		var ours thing
		if Read(b, envelope, &ours) != nil {
			return
		}
		var theirs struct {
			Format  string
			Version int
			Thing   thing
		}
		d := json.NewDecoder(bytes.NewReader(b))
		d.DisallowUnknownFields()
		if err := d.Decode(&theirs); err != nil || d.More() {
			t.Fatalf("accepted what encoding/json refuses: %v", err)
		}
		if !reflect.DeepEqual(ours, theirs.Thing) {
			t.Fatalf("read %+v, encoding/json reads %+v", ours, theirs.Thing)
		}
	})
}
