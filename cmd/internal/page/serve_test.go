package page

import (
	"context"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func send(t *testing.T, method, target, host string, body string, headers ...string) *http.Response {
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	r.Host = host
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	Handler("127.0.0.1:9", "localhost:9").ServeHTTP(w, r)
	return w.Result()
}

func TestHandler(t *testing.T) {
	for _, c := range []struct {
		method, target, host string
		status               int
	}{
		{"GET", "/", "127.0.0.1:9", 200},
		{"GET", "/index.html", "LOCALHOST:9", 200},
		{"HEAD", "/main.js", "localhost:9", 200},
		{"GET", "/door.js", "127.0.0.1:9", 200},
		{"GET", "/", "evil.example", 421},
		{"GET", "/", "127.0.0.1", 421},
		{"GET", "/", "127.0.0.1:80", 421},
		{"POST", "/", "127.0.0.1:9", 405},
		{"PUT", "/main.js", "127.0.0.1:9", 405},
		{"GET", "/answer", "127.0.0.1:9", 405},
		{"GET", "/engine.wasm", "127.0.0.1:9", 404},
		{"GET", "/worker.js", "127.0.0.1:9", 404},
		{"GET", "/site/", "127.0.0.1:9", 404},
		{"GET", "/../page.go", "127.0.0.1:9", 404},
		{"GET", "/..%2fpage.go", "127.0.0.1:9", 404},
		{"GET", "/nothing", "127.0.0.1:9", 404},
	} {
		r := send(t, c.method, c.target, c.host, "")
		assert.Equal(t, c.status, r.StatusCode, "%+v", c)
		assert.Contains(t, r.Header.Get("Content-Security-Policy"), "default-src 'none'")
		assert.NotContains(t, r.Header.Get("Content-Security-Policy"), "unsafe")
		assert.Equal(t, "nosniff", r.Header.Get("X-Content-Type-Options"))
	}
	assert.Equal(t, "GET, HEAD", send(t, "DELETE", "/", "localhost:9", "").Header.Get("Allow"))
	head, err := io.ReadAll(send(t, "HEAD", "/main.js", "localhost:9", "").Body)
	require.NoError(t, err)
	assert.Empty(t, head)
}

// The engine answers the page that this server served, and nobody else.
func TestOnlyItsOwnPageIsAnswered(t *testing.T) {
	const kind, own = "application/json", "http://127.0.0.1:9"
	for _, c := range []struct {
		why, host, origin, kind string
		status                  int
	}{
		{"its page", "127.0.0.1:9", own, kind, 200},
		{"the other name", "localhost:9", "http://localhost:9", kind, 200},
		{"with a charset", "127.0.0.1:9", own, kind + "; charset=utf-8", 200},
		{"another site", "127.0.0.1:9", "https://evil.example", kind, 403},
		{"another port", "127.0.0.1:9", "http://127.0.0.1:80", kind, 403},
		{"a file", "127.0.0.1:9", "null", kind, 403},
		{"no browser", "127.0.0.1:9", "", kind, 403},
		{"a name rebound to loopback", "evil.example:9", "http://evil.example:9", kind, 421},
		{"a form", "127.0.0.1:9", own, "text/plain", 415},
	} {
		r := send(t, "POST", "/answer", c.host, `{"op":"shipped"}`, "Origin", c.origin, "Content-Type", c.kind)
		assert.Equal(t, c.status, r.StatusCode, c.why)
		body, err := io.ReadAll(r.Body)
		require.NoError(t, err)
		assert.Equal(t, c.status == 200, strings.Contains(string(body), `"name":"trail"`), c.why)
	}
	long := send(t, "POST", "/answer", "127.0.0.1:9", strings.Repeat(" ", longest+1), "Origin", own, "Content-Type", kind)
	assert.Equal(t, 413, long.StatusCode)
}

// Nothing in the page comes from elsewhere, and the policy in the file is that of the
// header as far as a file can have it, with WebAssembly and its worker for the static site.
func TestSiteIsSelfContained(t *testing.T) {
	for name, b := range files("site", "native", "static") {
		text := strings.ReplaceAll(string(b), "http://www.w3.org/2000/svg", "")
		assert.NotContains(t, text, "http:", name)
		assert.NotContains(t, text, "https:", name)
		assert.NotContains(t, text, " style=", name)
		assert.NotContains(t, text, "eval(", name)
	}
	want := strings.Replace(strings.TrimSuffix(policy, "; frame-ancestors 'none'"), "script-src 'self'", "script-src 'self' 'wasm-unsafe-eval'; worker-src blob:", 1)
	assert.Contains(t, string(files("site")["index.html"]), want)
}

// A report that is saved from the page forbids all that it does not hold itself, as the
// command's does.
func TestSavedReportHasAPolicy(t *testing.T) {
	text := string(files("site")["report.js"])
	i := strings.Index(text, `<head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">`)
	assert.Positive(t, i)
	assert.Less(t, i, strings.Index(text, "${style}"), "before anything that it governs")
	assert.NotContains(t, text[i:], "<script")
}

func TestServeStopsAndTellsOfATakenPort(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	port := l.Addr().(*net.TCPAddr).Port
	err = Serve(context.Background(), port, func(string) { t.Error("served") })
	assert.ErrorContains(t, err, "is taken")

	ctx, cancel := context.WithCancel(context.Background())
	ready, done := make(chan string, 1), make(chan error, 1)
	go func() { done <- Serve(ctx, 0, func(a string) { ready <- a }) }()
	address := <-ready
	assert.True(t, strings.HasPrefix(address, "http://127.0.0.1:"))
	r, err := http.Get(address)
	require.NoError(t, err)
	r.Body.Close()
	assert.Equal(t, 200, r.StatusCode)
	cancel()
	assert.NoError(t, <-done, "stops, when it is told to")
}
