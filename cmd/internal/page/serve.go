package page

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"
)

// policy is the Content-Security-Policy: nothing but the site's own files, and
// WebAssembly.
const policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// Handler serves the site's files to requests that name one of the hosts (host:port).
// Others, which a name that was rebound to loopback would send, are refused.
func Handler(hosts ...string) http.Handler {
	known := names()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-cache")
		if !slices.Contains(hosts, strings.ToLower(r.Host)) {
			http.Error(w, "this page answers on its own address only", http.StatusMisdirectedRequest)
			return
		}
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			h.Set("Allow", "GET, HEAD")
			http.Error(w, "GET and HEAD only", http.StatusMethodNotAllowed)
			return
		}
		name := strings.TrimPrefix(r.URL.Path, "/")
		if name == "" {
			name = "index.html"
		}
		if !slices.Contains(known, name) {
			http.Error(w, "no such file", http.StatusNotFound)
			return
		}
		h.Set("Content-Type", types[path.Ext(name)])
		h.Set("Vary", "Accept-Encoding")
		var body []byte
		var err error
		if name == engineFile && strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
			h.Set("Content-Encoding", "gzip")
			body = packed()
		} else if body, err = file(name); err != nil {
			http.Error(w, "cannot be read", http.StatusInternalServerError)
			return
		}
		h.Set("Content-Length", strconv.Itoa(len(body)))
		if r.Method == http.MethodGet {
			_, _ = w.Write(body)
		}
	})
}

// Serve serves the page on loopback at a port (0: any that is free), calls ready
// with its address, and stops gracefully when the context ends.
func Serve(ctx context.Context, port int, ready func(address string)) error {
	l, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return fmt.Errorf("port %d on loopback is taken or not allowed; --port 0 takes a free one: %w", port, err)
	}
	at := l.Addr().(*net.TCPAddr).Port
	s := &http.Server{
		Handler:           Handler(fmt.Sprintf("127.0.0.1:%d", at), fmt.Sprintf("localhost:%d", at)),
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       10 * time.Second,
		WriteTimeout:      30 * time.Second,
		IdleTimeout:       60 * time.Second,
		MaxHeaderBytes:    16 << 10,
	}
	done := make(chan error, 1)
	go func() { done <- s.Serve(l) }()
	ready(fmt.Sprintf("http://127.0.0.1:%d/", at))
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		stop, cancel := context.WithTimeout(context.Background(), time.Second)
		defer cancel()
		if s.Shutdown(stop) != nil {
			return s.Close()
		}
		return nil
	}
}
