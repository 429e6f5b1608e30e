//go:build race

package engine

// raced: the race detector looks on.
const raced = true
