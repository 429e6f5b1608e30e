//go:build race

package cli

// raced: the race detector looks on.
const raced = true
