package static

import (
	"bytes"
	"encoding/json"
	"flag"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "draw the icons again and write them")

var pictures = []struct {
	file  string
	px    int
	scale float64
}{
	{"icon-192.png", 192, 1},
	{"icon-512.png", 512, 1},
	{"icon-maskable-512.png", 512, 0.75}, // the safe zone is a circle of 80 %: W3C, Web Application Manifest, icon masks
	{"apple-touch-icon.png", 180, 0.9},
}

// The committed pictures are what icon.go draws. Pixels are compared, within
// one step of grey, since the last bit of a cosine differs between machines.
func TestIcons(t *testing.T) {
	for _, p := range pictures {
		want := Icon(p.px, p.scale)
		if *update {
			var b bytes.Buffer
			if err := png.Encode(&b, want); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(p.file, b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		b, err := os.ReadFile(p.file)
		if err != nil {
			t.Fatal(err)
		}
		got, err := png.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatalf("%s: %v", p.file, err)
		}
		if n := different(got, want); n != 0 {
			t.Errorf("%s differs from its drawing in %d pixels", p.file, n)
		}
	}
	if *update {
		if err := os.WriteFile("icon.svg", []byte(SVG()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile("icon.svg"); err != nil || string(got) != SVG() {
		t.Errorf("icon.svg is not what SVG draws (%v)", err)
	}
}

func different(a, b image.Image) int {
	if a.Bounds() != b.Bounds() {
		return -1
	}
	n := 0
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			r, g, bl, _ := a.At(x, y).RGBA()
			r2, g2, bl2, _ := b.At(x, y).RGBA()
			for _, d := range []int{int(r>>8) - int(r2>>8), int(g>>8) - int(g2>>8), int(bl>>8) - int(bl2>>8)} {
				if d > 1 || d < -1 {
					n++
					break
				}
			}
		}
	}
	return n
}

func read(t *testing.T, file string) string {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

var inline = []*regexp.Regexp{
	regexp.MustCompile(`(?i)<style`),
	regexp.MustCompile(`(?i)\sstyle\s*=`),
	regexp.MustCompile(`(?i)\son[a-z]+\s*=\s*["']`),
	regexp.MustCompile(`(?i)javascript:`),
	regexp.MustCompile(`(?is)<script[^>]*>\s*[^<\s]`),
	regexp.MustCompile(`(?i)<script(?:\s+(?:defer|type="[^"]*"))*\s*>`),
	regexp.MustCompile(`\beval\(|new Function\(|setAttribute\("style"`),
}

var elsewhere = regexp.MustCompile(`(?i)(https?:)?//[a-z0-9-]+(\.[a-z0-9-]+)+`)

// The shell has no inline script or style, which the page's policy would
// block, and names no other origin.
func TestShellIsStrict(t *testing.T) {
	for _, file := range []string{"index.html", "boot.js", "sw.js", "manifest.webmanifest"} {
		text := read(t, file)
		for _, re := range inline {
			if hit := re.FindString(text); hit != "" {
				t.Errorf("%s holds %q, which the policy blocks", file, hit)
			}
		}
		if hit := elsewhere.FindString(text); hit != "" {
			t.Errorf("%s names another origin: %s", file, hit)
		}
	}
}

// The rules of TestShellIsStrict do see what they are meant to see.
func TestStrictRulesBite(t *testing.T) {
	for _, bad := range []string{
		"<style>a{}</style>", `<p style="x">`, `<a onclick="x()">`, `<a href="javascript:x">`,
		"<script>x()</script>", "<script defer>", "eval(x)",
	} {
		hit := false
		for _, re := range inline {
			hit = hit || re.MatchString(bad)
		}
		if !hit {
			t.Errorf("no rule refuses %s", bad)
		}
	}
	if !elsewhere.MatchString(`src="//cdn.example.org/x.js"`) || !elsewhere.MatchString("https://example.org") {
		t.Error("another origin is not seen")
	}
}

// Every local file that the page and the manifest name exists, except those
// that the build adds.
func TestNamedFilesExist(t *testing.T) {
	built := map[string]bool{"wasm_exec.js": true, "app.wasm": true, "film.wasm": true}
	ref := regexp.MustCompile(`(?:href|src)="/([^"]+)"|"src": "/([^"]+)"`)
	found := 0
	for _, file := range []string{"index.html", "manifest.webmanifest"} {
		for _, m := range ref.FindAllStringSubmatch(read(t, file), -1) {
			name := m[1] + m[2]
			found++
			if _, err := os.Stat(name); err != nil && !built[name] {
				t.Errorf("%s names /%s, which is not here", file, name)
			}
		}
	}
	if found < 9 {
		t.Errorf("only %d names found: this test is looking for the wrong thing", found)
	}
}

// Every style in the folder is linked by the page: one that is not would be
// kept on every phone and used on none.
func TestStylesAreLinked(t *testing.T) {
	styles, err := filepath.Glob("*.css")
	if err != nil || len(styles) == 0 {
		t.Fatalf("no style found (%v)", err)
	}
	page := read(t, "index.html")
	for _, file := range styles {
		if strings.Count(page, `<link rel="stylesheet" href="/`+file+`">`) != 1 {
			t.Errorf("index.html does not link %s once", file)
		}
	}
}

// The shell can be read and zoomed, and says what it is in words.
func TestPageCanBeRead(t *testing.T) {
	page := read(t, "index.html")
	for _, want := range []string{
		`<html lang="en">`, `<h1>Isthmus</h1>`, `role="status"`, `<noscript>`,
		`content="width=device-width, initial-scale=1`, `rel="apple-touch-icon"`,
	} {
		if strings.Count(page, want) != 1 {
			t.Errorf("index.html holds %s %d times, want once", want, strings.Count(page, want))
		}
	}
	for _, bad := range []string{"user-scalable", "maximum-scale"} {
		if strings.Contains(page, bad) {
			t.Errorf("index.html forbids zoom: %s", bad)
		}
	}
	var manifest struct {
		Name  string
		Start string `json:"start_url"`
		Icons []struct{ Purpose string }
	}
	if err := json.Unmarshal([]byte(read(t, "manifest.webmanifest")), &manifest); err != nil {
		t.Fatal(err)
	}
	if manifest.Name != "Isthmus" || manifest.Start != "/" || len(manifest.Icons) != 4 {
		t.Errorf("manifest says %+v", manifest)
	}
}
