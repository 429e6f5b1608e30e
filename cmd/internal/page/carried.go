//go:build carried

package page

import (
	"bytes"
	"compress/gzip"
	"embed"
	"io"
)

// The engine that a release carries, made by .ci/release.
//
//go:embed carried/engine.wasm.gz carried/wasm_exec.js
var carriedFiles embed.FS

// carried returns the engine that this program carries.
func carried() (*Engine, error) {
	var e Engine
	packed, err := carriedFiles.ReadFile("carried/engine.wasm.gz")
	if err != nil {
		return nil, err
	}
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	if e.Wasm, err = io.ReadAll(z); err != nil {
		return nil, err
	}
	e.Loader, err = carriedFiles.ReadFile("carried/wasm_exec.js")
	return &e, err
}
