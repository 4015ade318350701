package browser

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"isthmus/web/build"
	"isthmus/web/server"
)

// built makes the site once for all tests of the package.
var built = sync.OnceValues(func() (*server.Server, error) {
	root, err := build.Root()
	if err != nil {
		return nil, err
	}
	site := build.Site{Root: root, Log: os.Stderr}
	if _, err := site.Make(); err != nil {
		return nil, err
	}
	return server.New(site.Folder())
})

// site returns a server with the app on it, stopped when the test ends.
func site(t *testing.T) *Host {
	t.Helper()
	s, err := built()
	if err != nil {
		t.Fatal(err)
	}
	host, err := Serve(s)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { host.Stop() })
	return host
}

// phone returns a fresh phone, closed when the test ends. If the test failed,
// its last screen is kept in .build/screens.
func phone(t *testing.T, s Setup) *Phone {
	t.Helper()
	p, err := Open(s)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if t.Failed() {
			keepScreen(t, p)
		}
		p.Close()
	})
	return p
}

// keepScreen writes what the phone shows to .build/screens/<test>.png.
func keepScreen(t *testing.T, p *Phone) {
	t.Helper()
	root, err := build.Root()
	if err != nil {
		t.Log(err)
		return
	}
	dir := filepath.Join(root, ".build", "screens")
	file := filepath.Join(dir, strings.ReplaceAll(t.Name(), "/", "-")+".png")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Log(err)
		return
	}
	if err := p.Screenshot(file); err != nil {
		t.Log(err)
		return
	}
	t.Logf("last screen: %s", file)
}

// must fails the test on any error of a step.
func must(t *testing.T, errs ...error) {
	t.Helper()
	for _, err := range errs {
		if err != nil {
			t.Fatal(err)
		}
	}
}

// eval returns the value of a JavaScript expression.
func eval[T any](t *testing.T, p *Phone, expression string) T {
	t.Helper()
	v, err := Eval[T](p, expression)
	if err != nil {
		t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// started waits until the first usable answer of the app is on the screen.
func started(t *testing.T, p *Phone) {
	t.Helper()
	must(t, p.Wait(`document.querySelector("[data-ready]")`))
}

// running waits until the program has put a screen of its own in the place of
// the shell, whichever it is.
func running(t *testing.T, p *Phone) {
	t.Helper()
	must(t, p.Wait(`!document.getElementById("boot-status") && document.querySelector("main, nav")`))
	if eval[bool](t, p, `Boolean(document.querySelector("body > .boot"))`) {
		t.Fatalf("the program did not start: %s", eval[string](t, p, `document.body.innerText`))
	}
}

// kept waits until the service worker has everything and controls the page.
func kept(t *testing.T, p *Phone) {
	t.Helper()
	must(t, p.Wait(`navigator.serviceWorker.controller && navigator.serviceWorker.controller.state === "activated"`))
}

// quiet fails the test if the page's console holds a warning, an error, an
// exception or anything blocked by the policy.
func quiet(t *testing.T, p *Phone) {
	t.Helper()
	for _, line := range p.Console() {
		kind, _, _ := strings.Cut(line, ":")
		switch kind {
		case "log", "info", "debug", "verbose":
		default:
			t.Errorf("the console says %s", line)
		}
	}
}

// accessibility returns the rules of accessibility that the screen breaks.
func accessibility(t *testing.T, p *Phone) []string {
	t.Helper()
	root, err := build.Root()
	must(t, err)
	modules, err := build.NPM(root)
	must(t, err)
	broken, err := p.Axe(modules)
	must(t, err)
	return broken
}

// accessible fails the test for every rule of accessibility that the screen
// breaks.
func accessible(t *testing.T, p *Phone) {
	t.Helper()
	for _, line := range accessibility(t, p) {
		t.Errorf("not accessible: %s", line)
	}
}
