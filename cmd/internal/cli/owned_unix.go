//go:build linux || darwin || freebsd

package cli

import (
	"os"
	"syscall"
)

// heldOpen says that files stay open until they took their places, which keeps them owned.
const heldOpen = true

// claim makes a file this process's own for as long as it is open. Where the disk knows no
// locks nobody takes leftovers away either.
func claim(f *os.File) { _ = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) }

// orphaned reports whether nobody owns a file of this user's; it is this process's from then
// on. What another user left, in a folder that both write into, is theirs.
func orphaned(f *os.File) bool {
	st, err := f.Stat()
	if err != nil {
		return false
	}
	if x, ok := st.Sys().(*syscall.Stat_t); !ok || int64(x.Uid) != int64(os.Geteuid()) {
		return false
	}
	return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) == nil
}
