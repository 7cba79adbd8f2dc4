//go:build unix

package journal

import (
	"syscall"
	"testing"
)

// A pipe in the place of a journal, or of its lock, hung beyond every signal.
func TestNobodyWaitsForAPipe(t *testing.T) {
	isRefused(t, func(path string) error { return syscall.Mkfifo(path, 0o600) })
}
