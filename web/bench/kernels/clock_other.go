//go:build !unix

package main

import "time"

var began = time.Now()

// spent returns the time since the start. Under node web/bench lets the clock
// tell processor time.
func spent() time.Duration { return time.Since(began) }
