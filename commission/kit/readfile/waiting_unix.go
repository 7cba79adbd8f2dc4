//go:build unix

package readfile

import "syscall"

// withoutWaiting opens a named pipe at once, though nobody writes to it, and makes no
// terminal the process's own.
const withoutWaiting = syscall.O_NONBLOCK | syscall.O_NOCTTY
