//go:build !race

package cases

// raced: the race detector looks on.
const raced = false
