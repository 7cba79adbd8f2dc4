//go:build !unix

package readfile

// withoutWaiting: elsewhere there are no named pipes among the files.
const withoutWaiting = 0
