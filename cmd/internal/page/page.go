// Package page is the interactive page: a static site with the engine compiled to
// WebAssembly. It serves it on loopback or writes it into a folder. What is in site
// is made by go run ./cmd/internal/page/build, which checks it in CI too.
package page

import (
	"bytes"
	"compress/gzip"
	"embed"
	"io"
	"io/fs"
	"path"
	"sort"
)

//go:embed site
var site embed.FS

// engineFile is the engine, kept compressed.
const engineFile = "engine.wasm"

// types are the media types of the site's files.
var types = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".js":   "text/javascript; charset=utf-8",
	".wasm": "application/wasm",
}

// names lists the site's files.
func names() []string {
	entries, err := fs.ReadDir(site, "site")
	if err != nil {
		panic(err) // embedded at build time
	}
	var out []string
	for _, e := range entries {
		n := e.Name()
		if n == engineFile+".gz" {
			n = engineFile
		}
		out = append(out, n)
	}
	sort.Strings(out)
	return out
}

// packed returns the engine as it is kept, gzip.
func packed() []byte {
	b, err := site.ReadFile(path.Join("site", engineFile+".gz"))
	if err != nil {
		panic(err) // embedded at build time
	}
	return b
}

// file returns one of the site's files.
func file(name string) ([]byte, error) {
	if name != engineFile {
		return site.ReadFile(path.Join("site", name))
	}
	r, err := gzip.NewReader(bytes.NewReader(packed()))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

// Files returns the whole static site by name, to be put on any static host.
func Files() (map[string][]byte, []string, error) {
	out := map[string][]byte{}
	for _, n := range names() {
		b, err := file(n)
		if err != nil {
			return nil, nil, err
		}
		out[n] = b
	}
	return out, names(), nil
}

// Size returns how many bytes a browser loads, compressed.
func Size() (total int) {
	for _, n := range names() {
		if n == engineFile {
			total += len(packed())
			continue
		}
		b, _ := file(n)
		var z bytes.Buffer
		w, _ := gzip.NewWriterLevel(&z, gzip.BestCompression)
		_, _ = w.Write(b)
		_ = w.Close()
		total += z.Len()
	}
	return total
}
