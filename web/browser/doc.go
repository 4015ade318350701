// Package browser drives Chromium as a phone: touch, a small screen, a slow
// processor. Its tests are the app's tests in a browser, and web/bench
// measures with it. The server that a phone talks to can be stopped, which is
// the honest test of working without a network.
package browser
