//go:build linux || darwin || freebsd

package cli

import "syscall"

// freeBytes returns how much a folder's disk can take, bytes; -1 where that is not
// known.
func freeBytes(dir string) float64 {
	var st syscall.Statfs_t
	if err := syscall.Statfs(dir, &st); err != nil {
		return -1
	}
	return float64(st.Bavail) * float64(st.Bsize)
}
