package page

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"mime"
	"net"
	"net/http"
	"path"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"time"

	"chainpath/cmd/internal/engine"
)

// policy is the Content-Security-Policy: nothing but the site's own files.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// longest is how many bytes a request to the engine may have.
const longest = 1 << 20

// Handler serves the page's files, and its engine under /answer, to requests that name
// one of the hosts (host:port). Others, which a name that was rebound to loopback would
// send, are refused, and so are requests to the engine from pages of other origins.
func Handler(hosts ...string) http.Handler {
	known := files("site", "native")
	known["index.html"] = hurried(known["index.html"], known)
	line := newQueue(runtime.GOMAXPROCS(0))
	return goesOn(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-cache")
		host := strings.ToLower(r.Host)
		if !slices.Contains(hosts, host) {
			http.Error(w, "this page answers on its own address only", http.StatusMisdirectedRequest)
			return
		}
		if r.URL.Path == "/answer" {
			answer(w, r, "http://"+host, line)
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
		body, ok := known[name]
		if !ok {
			http.Error(w, "no such file", http.StatusNotFound)
			return
		}
		h.Set("Content-Type", types[path.Ext(name)])
		h.Set("Content-Length", strconv.Itoa(len(body)))
		if r.Method == http.MethodGet {
			_, _ = w.Write(body)
		}
	}))
}

// goesOn answers 500 where a request brought its goroutine, or one that this waits for, to
// panic, and says on standard error where.
func goesOn(h http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			v := recover()
			if v == nil {
				return
			}
			if v == http.ErrAbortHandler {
				panic(v)
			}
			log.Printf("chainpath page: %v\n%s", v, debug.Stack())
			http.Error(w, "the engine failed at this request, which is a mistake of its own; it goes on with others", http.StatusInternalServerError)
		}()
		h.ServeHTTP(w, r)
	})
}

// longestName is how long a page's name for itself may be.
const longestName = 64

// pageOf returns the name that the page of a request gave itself.
func pageOf(r *http.Request) string {
	name := r.Header.Get("Page-Name")
	return name[:min(len(name), longestName)]
}

// writing is how long a client may take to read an answer.
const writing = 30 * time.Second

// engineAnswer is the engine; tests have another.
var engineAnswer = engine.Answer

// answer lets the engine answer a request that this page itself sent, when its turn comes. One
// that the page has given up by then, or gives up while it is worked on, is not answered.
func answer(w http.ResponseWriter, r *http.Request, origin string, line *queue) {
	switch kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type")); {
	case r.Method != http.MethodPost:
		w.Header().Set("Allow", "POST")
		http.Error(w, "POST only", http.StatusMethodNotAllowed)
	case strings.ToLower(r.Header.Get("Origin")) != origin:
		http.Error(w, "the engine answers its own page only", http.StatusForbidden)
	case kind != "application/json":
		http.Error(w, "application/json only", http.StatusUnsupportedMediaType)
	default:
		text, err := io.ReadAll(http.MaxBytesReader(w, r.Body, longest))
		if err != nil {
			http.Error(w, "a request has 1 MiB at most", http.StatusRequestEntityTooLarge)
			return
		}
		timer := http.NewResponseController(w)
		_ = timer.SetWriteDeadline(time.Time{}) // however long it waits; a test's recorder knows none
		switch err := line.enter(r.Context(), pageOf(r)); {
		case errors.Is(err, errFull):
			w.Header().Set("Retry-After", "1")
			http.Error(w, err.Error(), http.StatusServiceUnavailable)
			return
		case err != nil:
			return
		}
		body := func() []byte {
			defer line.leave() // also after a panic
			return engineAnswer(r.Context(), text)
		}()
		_ = timer.SetWriteDeadline(time.Now().Add(writing))
		w.Header().Set("Content-Type", "application/json")
		_, _ = w.Write(body)
	}
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
		WriteTimeout:      writing,
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
