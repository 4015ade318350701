// Command web builds what is stale and serves the app on this machine.
//
//	go run ./web                 build, then serve on http://127.0.0.1:8080
//	go run ./web -release        the same, compressed as for the public
//	go run ./web -out DIR        write a folder to deploy, and end
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/signal"
	"syscall"
	"time"

	"isthmus/web/build"
	"isthmus/web/server"
)

func main() {
	addr := flag.String("addr", "127.0.0.1:8080", "where to listen, host:port")
	release := flag.Bool("release", false, "also write brotli and gzip copies, as small as they get (takes about a minute)")
	out := flag.String("out", "", "write a folder to deploy (site, worker, configuration) and end")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := work(ctx, *addr, *release, *out); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func work(ctx context.Context, addr string, release bool, out string) error {
	root, err := build.Root()
	if err != nil {
		return err
	}
	site := build.Site{Root: root, Log: os.Stdout}
	v, err := site.Make()
	if err != nil {
		return err
	}
	if release {
		fmt.Println("compressing; the first time takes about a minute")
		if err := site.Compress(); err != nil {
			return err
		}
	}
	s, err := server.New(site.Folder())
	if err != nil {
		return err
	}
	fmt.Printf("version %s, %d files\n", v.Version, len(v.Files))
	if out != "" {
		return deploy(root, site.Folder(), out, s.Versions(), release)
	}
	return serve(ctx, addr, s)
}

// A PortError reports an address that cannot be listened on.
type PortError struct {
	Addr  string
	Cause error
}

// Code names the fault.
func (e *PortError) Code() string { return "web-port" }

func (e *PortError) Error() string {
	return fmt.Sprintf("web: cannot listen on %s (%v): end what uses it, or choose another with -addr 127.0.0.1:8081", e.Addr, e.Cause)
}

func (e *PortError) Unwrap() error { return e.Cause }

// serve answers until ctx ends, then lets the answers under way finish.
func serve(ctx context.Context, addr string, h http.Handler) error {
	l, err := net.Listen("tcp", addr)
	if err != nil {
		return &PortError{Addr: addr, Cause: err}
	}
	fmt.Printf("serving on http://%s\nend it with Ctrl-C\n", l.Addr())
	s := &http.Server{Handler: h, ReadHeaderTimeout: 10 * time.Second, IdleTimeout: time.Minute}
	done := make(chan error, 1)
	go func() { done <- s.Serve(l) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	fmt.Println("\nending")
	last, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	if err := s.Shutdown(last); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return nil
}
