// Package collecting has memory that is no longer needed collected less often than usual, for as long as that helps.
// It is for a whole process: commands and benchmarks call it, nothing below them.
package collecting

import (
	"os"
	"runtime/debug"
)

// WhileListening is for a visit: what comes during a collection is stamped late, on two cores by milliseconds. At
// 5,000 calls a second for a minute one in a hundred was, by 0.6 ms and more where a server that does nothing but
// stamp is late by 0.2; with this it is 0.4 (BenchmarkHook of commission/visit). A visit whose journal is full holds
// a fourth of the limit, the demonstration takes 60 MB in all.
func WhileListening() (restore func()) { return seldom(800, 512<<20) }

// WhileWriting is for a certificate, which is made in one go, of little that is thrown away: what is collected
// meanwhile is a tenth of the time. It takes up to 120 MiB for 1,000 detectors.
func WhileWriting() (restore func()) { return seldom(300, 512<<20) }

// seldom lets the heap grow by so many per cent of what is in use, up to a limit in bytes, until restore is called.
// What somebody has set in the environment stands.
func seldom(percent int, limit int64) (restore func()) {
	if os.Getenv("GOGC") != "" || os.Getenv("GOMEMLIMIT") != "" {
		return func() {}
	}
	before, most := debug.SetGCPercent(percent), debug.SetMemoryLimit(limit)
	return func() {
		debug.SetGCPercent(before)
		debug.SetMemoryLimit(most)
	}
}
