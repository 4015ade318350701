package browser

import (
	"context"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"isthmus/web/build"
	"isthmus/web/server"
)

// The app starts, is kept for later, and nothing is blocked or complained of.
func TestShellStarts(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{})
	must(t, p.Visit(host.URL("/")))
	started(t, p)
	kept(t, p)
	names := eval[[]string](t, p, `caches.keys()`)
	want := "isthmus-" + eval[string](t, p, `goappGetenv("GOAPP_VERSION")`)
	if len(names) != 1 || names[0] != want {
		t.Errorf("caches %v, want only %s", names, want)
	}
	held := eval[[]string](t, p, `caches.open("`+want+`").then((c) => c.keys()).then((all) => all.map((r) => new URL(r.url).pathname))`)
	for _, path := range []string{"/", "/app.css", "/app.wasm", "/film.wasm", "/film-worker.js", "/boot.js", "/wasm_exec.js", "/manifest.webmanifest", "/icon-192.png"} {
		if !slices.Contains(held, path) {
			t.Errorf("%s is not kept for use without a network: %v", path, held)
		}
	}
	quiet(t, p)
}

// With the server gone, every address of the app opens and reloads, with a
// query too, and after the browser was closed.
func TestWithoutNetwork(t *testing.T) {
	host := site(t)
	profile := t.TempDir()
	p := phone(t, Setup{Profile: profile, Slow: 1})
	must(t, p.Visit(host.URL("/")))
	running(t, p)
	kept(t, p)
	must(t, host.Stop())
	for _, path := range []string{"/", "/cases", "/case/0123456789abcdef0123456789abcdef?tab=2", "/?source=pwa"} {
		must(t, p.Visit(host.URL(path)))
		running(t, p)
		if got := eval[string](t, p, `location.pathname + location.search`); got != path {
			t.Errorf("opened %s, the address now says %s", path, got)
		}
	}
	must(t, p.Reload())
	running(t, p)
	p.Close()
	again := phone(t, Setup{Profile: profile, Slow: 1})
	must(t, again.Visit(host.URL("/sizes/head")))
	running(t, again)
}

// second returns a server with another version of the site.
func second(t *testing.T, note string) *server.Server {
	t.Helper()
	root, err := build.Root()
	must(t, err)
	s := build.Site{Root: root, Dir: t.TempDir(), Extra: map[string][]byte{"note.txt": []byte(note)}}
	_, err = s.Make()
	must(t, err)
	srv, err := server.New(s.Folder())
	must(t, err)
	return srv
}

const version = `document.querySelector('meta[name="isthmus-version"]').content`

// A new version waits until it is asked for; then it takes over whole, and
// works without a network as the first did.
func TestNewVersionWaits(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/")))
	running(t, p)
	kept(t, p)
	first := eval[string](t, p, version)

	next := second(t, "second version\n")
	must(t, host.Stop())
	must(t, host.Start(next))
	eval[bool](t, p, `(addEventListener("isthmus-update", () => { globalThis.told = true }), true)`)
	eval[bool](t, p, `navigator.serviceWorker.getRegistration().then((r) => r.update()).then(() => true)`)
	must(t, p.Wait(`globalThis.told`))
	offered := `document.querySelector(".says[role=status]")?.innerText.includes("A new version is ready")`
	must(t, p.Wait(offered), p.Reload())
	running(t, p)
	if got := eval[string](t, p, version); got != first {
		t.Fatalf("version %s took over from %s without being asked for", got, first)
	}

	started(t, p) // before it the list still moves
	must(t, p.Wait(offered), p.TapOn(`a[href="/sizes/head"]`), p.Wait(`document.querySelector("[data-row='head.lower.depth']")`))
	enter(t, p, "head.lower.depth", "98")
	must(t, p.TapText("Take it"), p.Wait(version+` !== "`+first+`"`))
	running(t, p)
	must(t, p.Wait(`document.querySelector("[data-row='head.lower.depth'] .value")?.innerText.startsWith("98")`)) // typed just before
	kept(t, p)
	must(t, host.Stop())
	must(t, p.Visit(host.URL("/case/x")))
	running(t, p)
	now := eval[string](t, p, version)
	if !strings.Contains(string(next.Versions()), now) {
		t.Errorf("version %s is not the one that was published", now)
	}
	if names := eval[[]string](t, p, `caches.keys()`); len(names) != 1 || names[0] != "isthmus-"+now {
		t.Errorf("caches %v, want only that of %s", names, now)
	}
}

// A site that was published by half, new service worker and one old file, is
// not taken: the version before stays whole.
func TestHalfPublishedIsRefused(t *testing.T) {
	first, err := built()
	must(t, err)
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/")))
	running(t, p)
	kept(t, p)
	was := eval[string](t, p, version)

	next := second(t, "half published\n")
	must(t, host.Stop())
	must(t, host.Start(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/" { // the old page, whose hash is not the new one's
			first.ServeHTTP(w, r)
			return
		}
		next.ServeHTTP(w, r)
	})))
	state := eval[string](t, p, `(async () => {
		const r = await navigator.serviceWorker.getRegistration();
		const found = new Promise((go) => r.addEventListener("updatefound", () => go(r.installing), { once: true }));
		r.update().catch(() => {});
		const worker = await found;
		while (worker.state === "installing") await new Promise((go) => setTimeout(go, 50));
		return worker.state;
	})()`)
	if state != "redundant" {
		t.Errorf("the new service worker is %s, want redundant", state)
	}
	must(t, host.Stop())
	must(t, p.Visit(host.URL("/cases")))
	running(t, p)
	if got := eval[string](t, p, version); got != was {
		t.Errorf("version %s, want still %s", got, was)
	}
}

// When the program dies, the page says so and offers to load again.
func TestStoppedProgramIsSaid(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/")))
	running(t, p)
	// A call without its argument is a Go panic, on purpose.
	if _, err := Eval[bool](p, `(() => { try { goappNav() } catch {} return true })()`); err != nil {
		t.Fatal(err)
	}
	must(t, p.Wait(`document.querySelector("body > .boot [role=alert]")`))
	said := eval[string](t, p, `document.body.innerText`)
	if !strings.Contains(said, "The program stopped. What was saved is kept. Reload the page.") {
		t.Errorf("the page says %q", said)
	}
	must(t, p.TapText("Reload the page"))
	running(t, p)
}

// Before the program has come the page says what it is, in words that
// everybody can read.
func TestFirstWords(t *testing.T) {
	s, err := built()
	must(t, err)
	hold := make(chan struct{})
	host, err := Serve(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/app.wasm" {
			<-hold
		}
		s.ServeHTTP(w, r)
	}))
	must(t, err)
	t.Cleanup(func() { host.Stop() })
	t.Cleanup(func() { close(hold) })
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/")))
	said := eval[string](t, p, `document.body.innerText`)
	for _, want := range []string{"Isthmus", "one broken femur", "Loading the program", "check every number"} {
		if !strings.Contains(said, want) {
			t.Errorf("the first words lack %q: %q", want, said)
		}
	}
	accessible(t, p)
}

// When the program does not come, the page says so in words.
func TestMissingProgramIsSaid(t *testing.T) {
	s, err := built()
	must(t, err)
	host, err := Serve(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/app.wasm" {
			http.Error(w, "gone", http.StatusServiceUnavailable)
			return
		}
		s.ServeHTTP(w, r)
	}))
	must(t, err)
	t.Cleanup(func() { host.Stop() })
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/")))
	must(t, p.Wait(`document.querySelector("body > .boot [role=alert]")`))
	said := eval[string](t, p, `document.body.innerText`)
	if !strings.Contains(said, "could not be loaded") || !strings.Contains(said, "answered 503") {
		t.Errorf("the page says %q", said)
	}
	accessible(t, p)
}

// On a slow network the page says how far loading is, and the number moves.
func TestProgressMoves(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, slowNetwork(p.Context(), 3e6))
	_, err := chromedp.Call(p.Context(), page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: `
		globalThis.seen = [];
		new MutationObserver(() => {
			const line = document.getElementById("boot-status");
			if (line && seen.at(-1) !== line.textContent) seen.push(line.textContent);
		}).observe(document, { childList: true, subtree: true, characterData: true });`})
	must(t, err)
	must(t, p.Visit(host.URL("/")))
	running(t, p)
	seen := eval[[]string](t, p, `seen`)
	if len(seen) < 5 || seen[0] != "Loading the program." {
		t.Fatalf("the page said %q", seen)
	}
	percent := func(s string) int {
		return eval[int](t, p, `Number("`+s+`".replace(/[^0-9]/g, ""))`)
	}
	for i := 2; i < len(seen); i++ {
		if percent(seen[i]) <= percent(seen[i-1]) {
			t.Errorf("%q after %q", seen[i], seen[i-1])
		}
	}
	if percent(seen[len(seen)-1]) > 100 {
		t.Errorf("it ended with %q", seen[len(seen)-1])
	}
}

// slowNetwork limits the page's downloads to so many bytes a second.
func slowNetwork(ctx context.Context, bytesPerSecond float64) error {
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		return err
	}
	_, err := chromedp.Call(ctx, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
		MatchedNetworkConditions: []*network.Conditions{{DownloadThroughput: bytesPerSecond, UploadThroughput: -1, Latency: 50}},
	})
	return err
}

// The second start of the harness itself: files go in and out of a page.
func TestFilesGoInAndOut(t *testing.T) {
	host, err := Serve(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		w.Write([]byte(`<!doctype html><title>t</title><label>Take<input type=file id=in></label><button id=b>Give</button><script>
			const give = (blob) => { const a = document.createElement("a"); a.href = URL.createObjectURL(blob); a.download = "out.txt"; a.click() };
			let got = ""; document.getElementById("in").onchange = async (e) => { got = await e.target.files[0].text(); };
			b.onclick = () => give(new Blob([got.toUpperCase()]));</script>`))
	}))
	must(t, err)
	t.Cleanup(func() { host.Stop() })
	p := phone(t, Setup{Slow: 1})
	file := t.TempDir() + "/in.txt"
	must(t, os.WriteFile(file, []byte("femur"), 0o644))
	must(t, p.Visit(host.URL("/")), p.Upload("#in", file), p.Wait(`got === "femur"`))
	name, content, err := p.Download(func() error { return p.TapText("Give") })
	must(t, err)
	if name != "out.txt" || string(content) != "FEMUR" {
		t.Errorf("downloaded %s with %q, want out.txt with FEMUR", name, content)
	}
}
