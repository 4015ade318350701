// Package api answers the two addresses below /api and knows the headers that
// every answer of the site carries. It is used by the plain server and by the
// edge worker, so both say the same.
package api

import (
	"io"
	"net/http"
)

// Policy is the Content-Security-Policy of every answer: nothing from another
// origin, nothing inline. 'wasm-unsafe-eval' is what lets a browser compile
// WebAssembly; without it nothing starts.
const Policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; " +
	"img-src 'self' blob: data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; " +
	"font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// Permissions is the Permissions-Policy: a film may be photographed, the
// screen may stay awake, and sharing stays as browsers have it; nothing else.
const Permissions = "camera=(self), screen-wake-lock=(self), " +
	"accelerometer=(), autoplay=(), display-capture=(), geolocation=(), gyroscope=(), hid=(), " +
	"idle-detection=(), local-fonts=(), magnetometer=(), microphone=(), midi=(), payment=(), " +
	"publickey-credentials-get=(), serial=(), usb=(), xr-spatial-tracking=()"

// Headers returns the headers of every answer of the site, in order.
func Headers() [][2]string {
	return [][2]string{
		{"Content-Security-Policy", Policy},
		{"Permissions-Policy", Permissions},
		{"X-Content-Type-Options", "nosniff"},
		{"Referrer-Policy", "no-referrer"},
		{"Cross-Origin-Opener-Policy", "same-origin"},
		{"Cross-Origin-Resource-Policy", "same-origin"},
	}
}

// SetHeaders puts the headers of the site on an answer.
func SetHeaders(h http.Header) {
	for _, kv := range Headers() {
		h.Set(kv[0], kv[1])
	}
}

// New returns the handler of /api/health and /api/version. Versions is the
// content of the site's versions.json: it is the answer of /api/version, byte
// for byte. Without it both say that the build is not complete (503), rather
// than a version that is not there.
func New(versions string) http.Handler { return handler(versions) }

type handler string

func (versions handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	SetHeaders(w.Header())
	w.Header().Set("Cache-Control", "no-store")
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		say(w, r, http.StatusMethodNotAllowed, "api: only GET and HEAD are answered here\n")
		return
	}
	known := r.URL.Path == "/api/health" || r.URL.Path == "/api/version"
	switch {
	case !known:
		say(w, r, http.StatusNotFound, "api: there are two addresses here, /api/health and /api/version\n")
	case versions == "":
		say(w, r, http.StatusServiceUnavailable, "api: built without versions: build it with go run ./web -out\n")
	case r.URL.Path == "/api/version":
		sayJSON(w, r, string(versions))
	default:
		sayJSON(w, r, `{"status":"ok"}`+"\n")
	}
}

func sayJSON(w http.ResponseWriter, r *http.Request, body string) {
	w.Header().Set("Content-Type", "application/json")
	write(w, r, http.StatusOK, body)
}

func say(w http.ResponseWriter, r *http.Request, status int, body string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	write(w, r, status, body)
}

// write sends no body for HEAD: the edge platform would count it.
func write(w http.ResponseWriter, r *http.Request, status int, body string) {
	w.WriteHeader(status)
	if r.Method != http.MethodHead {
		io.WriteString(w, body)
	}
}
