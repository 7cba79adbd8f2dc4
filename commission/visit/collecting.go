package visit

import "runtime/debug"

// collectSeldom has memory that is no longer needed collected less often until restore is
// called: what comes meanwhile is stamped late, on two cores by milliseconds. At 5,000 calls
// a second for a minute one in a hundred was, by 0.6 ms and more where a server that does
// nothing but stamp is late by 0.2; with this it is 0.4 (BenchmarkHook). A visit whose
// journal is full holds a fourth of the limit, the demonstration takes 60 MB in all.
func collectSeldom() (restore func()) {
	const percent, limit = 800, 512 << 20 // of what is in use; bytes
	before, most := debug.SetGCPercent(percent), debug.SetMemoryLimit(-1)
	debug.SetMemoryLimit(min(most, limit))
	return func() {
		debug.SetGCPercent(before)
		debug.SetMemoryLimit(most)
	}
}
