//go:build !unix

package journal

import "io/fs"

const notWaiting = 0

func unlinked(fs.FileInfo) bool { return false }
