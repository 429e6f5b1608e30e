//go:build !(linux || darwin || freebsd)

package cli

// freeBytes returns -1: how much a folder's disk can take is not known here.
func freeBytes(string) float64 { return -1 }
