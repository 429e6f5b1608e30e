package page

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// Engine is the engine in WebAssembly and its loader, of the same Go release.
type Engine struct{ Wasm, Loader []byte }

// Errors of Compile.
var (
	ErrNoGo     = errors.New("there is no Go on this machine (no program go in PATH), and the site's engine is compiled with it")
	ErrNoSource = errors.New("no source of chainpath")
)

// Compile returns the engine that a release carries, where no source is named, else that made of the source in a folder ("": the module chainpath of
// the working directory, or else the folder that this program was built in) with the Go
// that is there. It keeps it in the user's cache, named by a hash of Go's release and of
// the source, and calls say before it compiles.
func Compile(ctx context.Context, source string, say func(words string)) (*Engine, error) {
	if e, err := carried(); source == "" && (e != nil || err != nil) {
		return e, err
	}
	tool, err := exec.LookPath("go")
	if err != nil {
		return nil, ErrNoGo
	}
	if source, err = find(ctx, tool, source); err != nil {
		return nil, err
	}
	release, err := output(ctx, tool, source, "env", "GOVERSION", "GOROOT")
	if err != nil {
		return nil, err
	}
	key, err := hash(source, release)
	if err != nil {
		return nil, err
	}
	version, root, _ := strings.Cut(release, "\n")
	cache, err := os.UserCacheDir()
	if err != nil { // no home: compile without keeping
		return compile(ctx, tool, source, root, "", say, version)
	}
	dir := filepath.Join(cache, "chainpath", "engine-"+key)
	if e, err := read(dir); err == nil {
		return e, nil
	}
	return compile(ctx, tool, source, root, dir, say, version)
}

// find returns the source's folder.
func find(ctx context.Context, tool, source string) (string, error) {
	if source != "" {
		if !isSource(source) {
			return "", fmt.Errorf("%w in %s: no module chainpath with its commands there", ErrNoSource, source)
		}
		return filepath.Abs(source)
	}
	if dir, err := output(ctx, tool, "", "list", "-m", "-f", "{{.Dir}}", "chainpath"); err == nil && isSource(dir) {
		return dir, nil
	}
	if _, file, _, ok := runtime.Caller(0); ok {
		if dir := filepath.Join(filepath.Dir(file), "..", "..", ".."); isSource(dir) {
			return dir, nil
		}
	}
	return "", fmt.Errorf("%w here, nor where this program was built; --source DIR says where it is", ErrNoSource)
}

func isSource(dir string) bool {
	text, err := os.ReadFile(filepath.Join(dir, "go.mod"))
	if _, none := os.Stat(filepath.Join(dir, "cmd", "engine")); none != nil {
		return false
	}
	return err == nil && strings.HasPrefix(string(text), "module chainpath\n")
}

// output runs the Go tool and returns what it prints, without the last line's end.
func output(ctx context.Context, tool, dir string, args ...string) (string, error) {
	c := exec.CommandContext(ctx, tool, args...)
	c.Dir, c.WaitDelay = dir, time.Second
	var words strings.Builder
	c.Stderr = &words
	c.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0", "GOWASM=", "GOFLAGS=-mod=readonly")
	out, err := c.Output()
	if ctx.Err() != nil {
		return "", ctx.Err()
	}
	if err != nil {
		return "", fmt.Errorf("go %s: %w\n%s", args[0], err, strings.TrimSpace(words.String()))
	}
	return strings.TrimSpace(string(out)), nil
}

// hash names the engine that a release makes of the source: of all files that may be
// compiled into it.
func hash(source, release string) (string, error) {
	h := sha256.New()
	fmt.Fprintln(h, release)
	for _, top := range []string{"go.mod", "go.sum", "geom", "sim", "cases", "cmd/engine", "cmd/internal/ask", "cmd/internal/engine", "cmd/internal/exchange", "cmd/internal/say", "cmd/internal/show"} {
		err := filepath.WalkDir(filepath.Join(source, top), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || strings.HasSuffix(path, "_test.go") {
				return err
			}
			text, err := os.ReadFile(path)
			fmt.Fprintf(h, "%s %x\n", strings.TrimPrefix(path, source), sha256.Sum256(text))
			return err
		})
		if err != nil {
			return "", fmt.Errorf("%w: %w", ErrNoSource, err)
		}
	}
	return fmt.Sprintf("%x", h.Sum(nil)[:12]), nil
}

// compile makes the engine and keeps it in a folder of the cache, whole or not at all.
func compile(ctx context.Context, tool, source, root, dir string, say func(string), version string) (*Engine, error) {
	say(fmt.Sprintf("compiling the engine of %s to WebAssembly with %s; this is done once", source, version))
	work, err := os.MkdirTemp("", "chainpath-engine")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(work)
	wasm := filepath.Join(work, "engine.wasm")
	if _, err := output(ctx, tool, source, "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w -buildid=", "-o", wasm, "./cmd/engine"); err != nil {
		return nil, err
	}
	loader, err := os.ReadFile(filepath.Join(root, "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return nil, fmt.Errorf("this Go has no loader for WebAssembly: %w", err)
	}
	if err := os.WriteFile(filepath.Join(work, "wasm_exec.js"), loader, 0o644); err != nil {
		return nil, err
	}
	e, err := read(work)
	if err == nil && dir != "" {
		keep(e, dir)
	}
	return e, err
}

// keep puts an engine into the cache; without it everything works, only slower.
func keep(e *Engine, dir string) {
	if os.MkdirAll(filepath.Dir(dir), 0o755) != nil {
		return
	}
	part, err := os.MkdirTemp(filepath.Dir(dir), "part-")
	if err != nil {
		return
	}
	defer os.RemoveAll(part)
	if os.WriteFile(filepath.Join(part, "engine.wasm"), e.Wasm, 0o644) == nil &&
		os.WriteFile(filepath.Join(part, "wasm_exec.js"), e.Loader, 0o644) == nil {
		_ = os.Rename(part, dir) // fails where another process was first
	}
}

// read takes an engine from a folder.
func read(dir string) (*Engine, error) {
	var e Engine
	var err error
	if e.Wasm, err = os.ReadFile(filepath.Join(dir, "engine.wasm")); err != nil {
		return nil, err
	}
	if e.Loader, err = os.ReadFile(filepath.Join(dir, "wasm_exec.js")); err != nil {
		return nil, err
	}
	if !strings.HasPrefix(string(e.Wasm), "\x00asm") {
		return nil, fmt.Errorf("%s is no WebAssembly", dir)
	}
	return &e, nil
}
