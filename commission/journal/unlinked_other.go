//go:build !unix

package journal

import "io/fs"

func unlinked(fs.FileInfo) bool { return false }
