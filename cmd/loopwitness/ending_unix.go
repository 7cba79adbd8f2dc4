//go:build unix

package main

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// untilUnread waits until nobody reads what is written to a file any more; false if that
// cannot be told.
func untilUnread(out *os.File) bool { return unread(out, -1) }

// isUnread tells whether nobody reads what is written to a file.
func isUnread(out *os.File) bool { return unread(out, 0) }

// unread waits at most so many milliseconds, or without end below zero.
func unread(out *os.File, milliseconds int) bool {
	fds := []unix.PollFd{{Fd: int32(out.Fd())}} // an end without a reader is told without being asked for
	for {
		n, err := unix.Poll(fds, milliseconds)
		if errors.Is(err, unix.EINTR) {
			continue
		}
		return err == nil && n > 0 && fds[0].Revents&(unix.POLLERR|unix.POLLHUP) != 0
	}
}
