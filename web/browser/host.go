package browser

import (
	"net"
	"net/http"
	"time"
)

// A Host is a server on a port of its own that can be stopped and started
// again under the same address, also with another version of the site.
type Host struct {
	addr   string
	server *http.Server
}

// Serve starts h on a free port of this machine.
func Serve(h http.Handler) (*Host, error) {
	host := &Host{addr: "127.0.0.1:0"}
	return host, host.Start(h)
}

// URL returns the address of a path of the site. A browser takes this machine
// for a safe origin, so it keeps the site for use without a network.
func (h *Host) URL(path string) string { return "http://" + h.addr + path }

// Start serves again after Stop, under the same address.
func (h *Host) Start(handler http.Handler) error {
	l, err := net.Listen("tcp", h.addr)
	if err != nil {
		return err
	}
	h.addr = l.Addr().String()
	h.server = &http.Server{Handler: handler, ReadHeaderTimeout: 10 * time.Second}
	go h.server.Serve(l)
	return nil
}

// Stop ends the server and every connection to it.
func (h *Host) Stop() error { return h.server.Close() }
