package page

import (
	"context"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func get(t *testing.T, method, target, host, encoding string) *http.Response {
	r := httptest.NewRequest(method, target, nil)
	r.Host = host
	if encoding != "" {
		r.Header.Set("Accept-Encoding", encoding)
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
		{"GET", "/engine.wasm", "127.0.0.1:9", 200},
		{"GET", "/", "evil.example", 421},
		{"GET", "/", "127.0.0.1", 421},
		{"GET", "/", "127.0.0.1:80", 421},
		{"POST", "/", "127.0.0.1:9", 405},
		{"PUT", "/main.js", "127.0.0.1:9", 405},
		{"GET", "/engine.wasm.gz", "127.0.0.1:9", 404},
		{"GET", "/site/", "127.0.0.1:9", 404},
		{"GET", "/../page.go", "127.0.0.1:9", 404},
		{"GET", "/..%2fpage.go", "127.0.0.1:9", 404},
		{"GET", "/nothing", "127.0.0.1:9", 404},
	} {
		r := get(t, c.method, c.target, c.host, "")
		assert.Equal(t, c.status, r.StatusCode, "%+v", c)
		assert.Contains(t, r.Header.Get("Content-Security-Policy"), "default-src 'none'")
		assert.NotContains(t, r.Header.Get("Content-Security-Policy"), "unsafe-inline")
		assert.Equal(t, "nosniff", r.Header.Get("X-Content-Type-Options"))
	}
	assert.Equal(t, "GET, HEAD", get(t, "DELETE", "/", "localhost:9", "").Header.Get("Allow"))
	// The engine is the same compressed and not.
	plain, err := io.ReadAll(get(t, "GET", "/engine.wasm", "localhost:9", "").Body)
	require.NoError(t, err)
	assert.Equal(t, "\x00asm", string(plain[:4]))
	r := get(t, "GET", "/engine.wasm", "localhost:9", "br, gzip")
	assert.Equal(t, "gzip", r.Header.Get("Content-Encoding"))
	assert.Equal(t, "application/wasm", r.Header.Get("Content-Type"))
	head, err := io.ReadAll(get(t, "HEAD", "/main.js", "localhost:9", "").Body)
	require.NoError(t, err)
	assert.Empty(t, head)
}

// Nothing in the page comes from elsewhere, and the policy in the file is that of the
// header as far as a file can have it.
func TestSiteIsSelfContained(t *testing.T) {
	files, order, err := Files()
	require.NoError(t, err)
	require.Contains(t, order, "engine.wasm")
	for name, b := range files {
		if name == "engine.wasm" || name == "wasm_exec.js" {
			continue
		}
		text := strings.ReplaceAll(string(b), "http://www.w3.org/2000/svg", "")
		assert.NotContains(t, text, "http:", name)
		assert.NotContains(t, text, "https:", name)
		assert.NotContains(t, text, " style=", name)
		assert.NotContains(t, text, "eval(", name)
	}
	in := string(files["index.html"])
	assert.Contains(t, in, strings.TrimSuffix(policy, "; frame-ancestors 'none'"))
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
	select {
	case err := <-done:
		assert.NoError(t, err)
	case <-time.After(10 * time.Second):
		t.Error("did not stop")
	}
}
