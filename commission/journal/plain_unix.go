//go:build unix

package journal

import (
	"io/fs"
	"syscall"
)

// notWaiting lets the opening of a pipe not wait for its other end.
const notWaiting = syscall.O_NONBLOCK

// unlinked tells that a file has no name any more; false where that cannot be told.
func unlinked(info fs.FileInfo) bool {
	stat, told := info.Sys().(*syscall.Stat_t)
	return told && stat.Nlink == 0
}
