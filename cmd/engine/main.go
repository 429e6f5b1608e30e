//go:build js && wasm

// Command engine is the exported page's engine: it puts one function into the worker's
// global scope, chainpath, from a JSON text to a JSON text.
package main

import (
	"context"
	"syscall/js"

	"chainpath/cmd/internal/engine"
)

func main() {
	js.Global().Set("chainpath", js.FuncOf(func(_ js.Value, args []js.Value) any {
		if len(args) != 1 || args[0].Type() != js.TypeString {
			return `{"error":"request: want one text"}`
		}
		return string(engine.Answer(context.Background(), []byte(args[0].String())))
	}))
	if ready := js.Global().Get("chainpathReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {}
}
