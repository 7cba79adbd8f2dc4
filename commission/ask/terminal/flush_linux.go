package terminal

import "golang.org/x/sys/unix"

// flush drops what was typed but not yet read.
func flush(fd int) { _ = unix.IoctlSetInt(fd, unix.TCFLSH, unix.TCIFLUSH) }

func prepare(int) {}
