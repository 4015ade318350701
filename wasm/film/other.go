//go:build !(js && wasm)

package main

// The program runs in a browser only; the rest of the package is tested as
// plain Go.
func main() {}
