//go:build unix

package main

import (
	"syscall"
	"time"
)

// spent returns the processor time of this process: what else the machine does
// is not in it.
func spent() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
