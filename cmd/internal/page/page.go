// Package page is the interactive page. Served on loopback it is answered by this very
// program; written into a folder it is a static site with the engine in WebAssembly,
// which is compiled for it. Both have the files of site, and each its door to the engine.
package page

import (
	"bytes"
	"compress/gzip"
	"context"
	"embed"
	"encoding/json"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"

	"chainpath/cases"
	"chainpath/cmd/internal/engine"
	"chainpath/cmd/internal/licences"
)

//go:embed site native static
var embedded embed.FS

// types are the media types of the site's files.
var types = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".js":   "text/javascript; charset=utf-8",
	".txt":  "text/plain; charset=utf-8",
}

// files returns what stands in embedded folders, by name.
func files(folders ...string) map[string][]byte {
	out := map[string][]byte{}
	for _, f := range folders {
		entries, err := fs.ReadDir(embedded, f)
		if err != nil {
			panic(err) // embedded at build time
		}
		for _, e := range entries {
			b, err := embedded.ReadFile(path.Join(f, e.Name()))
			if err != nil {
				panic(err)
			}
			out[e.Name()] = b
		}
	}
	return out
}

// Site returns the static site by name, with an engine and the licences of what it is
// made of, to be put on any static host, and the names in order. The engine is compressed
// already, for hosts that do not; the page decompresses it.
func Site(e *Engine) (map[string][]byte, []string) {
	out := files("site", "static")
	out["engine.wasm.gz"], out["wasm_exec.js"] = zipped(e.Wasm), e.Loader
	out["first.json"] = first()
	out["index.html"] = hurried(out["index.html"], out)
	out["licences.txt"] = []byte(licences.Site)
	return out, slices.Sorted(maps.Keys(out))
}

// Size returns how many bytes a browser loads of the files, compressed.
func Size(files map[string][]byte) (total int) {
	for name, b := range files {
		if path.Ext(name) != ".gz" {
			b = zipped(b)
		}
		total += len(b)
	}
	return total
}

// hurried lets a browser load at once what the page will ask for one after the other.
func hurried(html []byte, files map[string][]byte) []byte {
	links := ""
	if files["first.json"] != nil {
		links += `<link rel="preload" href="first.json" as="fetch" crossorigin>` + "\n"
	}
	for _, name := range modules(files) {
		links += `<link rel="modulepreload" href="` + name + `">` + "\n"
	}
	return bytes.Replace(html, []byte("<script"), []byte(links+"<script"), 1)
}

var imported = regexp.MustCompile(`(?m)^import [^;]* from '\./([a-z_]+\.js)';`)

// modules lists what the page's own script imports at once, itself and one through another; what comes when it
// is wanted is none of it.
func modules(files map[string][]byte) []string {
	known, next := map[string]bool{}, []string{"main.js"}
	for len(next) > 0 {
		name := next[0]
		if next = next[1:]; known[name] || files[name] == nil {
			continue
		}
		known[name] = true
		for _, m := range imported.FindAllSubmatch(files[name], -1) {
			next = append(next, string(m[1]))
		}
	}
	return slices.Sorted(maps.Keys(known))
}

func zipped(b []byte) []byte {
	var z bytes.Buffer
	w, _ := gzip.NewWriterLevel(&z, gzip.BestCompression) // a known level
	_, _ = w.Write(b)
	_ = w.Close()
	return z.Bytes()
}

// first is the answer that the page shows before its engine is there: a shipped bicycle,
// whole.
func first() []byte {
	text, err := cases.ShippedText(firstCase)
	if err != nil {
		panic(err) // shipped
	}
	q, err := json.Marshal(map[string]any{"op": "compute", "yaml": string(text), "chances": true, "window": true})
	if err != nil {
		panic(err) // plain text
	}
	return engine.Answer(context.Background(), q)
}

// firstCase is the shipped bicycle that the page begins with.
const firstCase = "trail"
