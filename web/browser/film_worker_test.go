package browser

import (
	"encoding/base64"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"isthmus/web/build"
)

// JPEG 2000 opens without a network, under the page's own policy: the library
// is kept by the service worker and loaded by the film worker on need. The
// picture that comes is then drawn in another window, and searched, without
// the bytes being sent again.
func TestJPEG2000WithoutNetwork(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/")))
	running(t, p)
	kept(t, p)
	must(t, host.Stop())
	must(t, p.Reload())
	running(t, p)
	root, err := build.Root()
	must(t, err)
	for _, name := range []string{"ts_90_j2k_lossless", "ts_201_htj2k_lossless"} {
		b, err := os.ReadFile(filepath.Join(root, "testdata/films/variants", name+".dcm"))
		must(t, err)
		got := eval[string](t, p, fmt.Sprintf(`new Promise((done) => {
			const w = new Worker("/film-worker.js"), said = [];
			const end = (text) => { w.terminate(); done(said.concat(text).join(" ")); };
			setTimeout(() => end("silent"), 20000);
			w.onmessage = ({data: m}) => {
				switch (m.type) {
				case "ready": {
					const bytes = Uint8Array.from(atob(%q), (c) => c.charCodeAt(0));
					w.postMessage({type: "open", job: 1, bytes, frame: 0}, [bytes.buffer]);
					break;
				}
				case "opened":
					said.push(m.type, m.width, m.height, m.bitmap instanceof ImageBitmap, JSON.parse(m.windows).length > 3);
					w.postMessage({type: "window", job: 2, centre: 500, width: 300, shape: "linear", invert: true});
					break;
				case "windowed":
					said.push(m.type, m.job, m.bitmap.width);
					w.postMessage({type: "find", job: 3, what: "ball", ask: '{"taps":[{"x":-9,"y":0}]}'});
					break;
				case "failed": case "dead":
					end(m.code);
				}
			};
		})`, base64.StdEncoding.EncodeToString(b)))
		if want := "opened 220 267 true true windowed 2 220 find-outside"; got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
	quiet(t, p)
}
