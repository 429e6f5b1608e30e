// Command build makes the page's engine: it compiles cmd/engine to WebAssembly with
// the Go release below, so that everybody gets the same bytes, and takes that
// release's loader along. With -check it only says whether what is there is up to
// date. It needs nothing but Go.
//
//	go run ./cmd/internal/page/build
package main

import (
	"bytes"
	"compress/gzip"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// release is the Go release that the engine is built with.
const release = "go1.26.8"

const site = "cmd/internal/page/site"

func main() {
	check := flag.Bool("check", false, "only say whether the files are up to date")
	flag.Parse()
	if err := run(*check); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// command runs the Go tool of the release.
func command(env []string, args ...string) ([]byte, error) {
	c := exec.Command("go", args...)
	c.Env = append(append(os.Environ(), "GOTOOLCHAIN="+release, "GOFLAGS=-mod=readonly"), env...)
	c.Stderr = os.Stderr
	return c.Output()
}

func run(check bool) error {
	dir, err := os.MkdirTemp("", "engine")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	wasm := filepath.Join(dir, "engine.wasm")
	if _, err := command([]string{"GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0", "GOWASM="}, "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-o", wasm, "./cmd/engine"); err != nil {
		return fmt.Errorf("the engine: %w", err)
	}
	raw, err := os.ReadFile(wasm)
	if err != nil {
		return err
	}
	root, err := command(nil, "env", "GOROOT")
	if err != nil {
		return err
	}
	loader, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return err
	}
	var packed bytes.Buffer
	z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := z.Write(raw); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	for name, want := range map[string][]byte{"engine.wasm.gz": packed.Bytes(), "wasm_exec.js": loader} {
		path := filepath.Join(site, name)
		if check {
			got, err := os.ReadFile(path)
			if err != nil || !bytes.Equal(got, want) {
				return fmt.Errorf("%s is not up to date: go run ./cmd/internal/page/build", path)
			}
			continue
		}
		if err := os.WriteFile(path, want, 0o644); err != nil {
			return err
		}
	}
	fmt.Printf("engine %d bytes, %d compressed\n", len(raw), packed.Len())
	return nil
}
