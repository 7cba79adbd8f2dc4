//go:build darwin || freebsd || netbsd || openbsd || dragonfly

package terminal

import "golang.org/x/sys/unix"

const fread = 1 // FREAD of sys/file.h: the input queue

// flush drops what was typed but not yet read.
func flush(fd int) { _ = unix.IoctlSetPointerInt(fd, unix.TIOCFLUSH, fread) }

func prepare(int) {}
