//go:build linux || darwin

package clock

import (
	"time"

	"golang.org/x/sys/unix"
)

// slept is how long the computer has slept since it was started: what one clock of the
// system counts and the one of time.Time does not. 0 where the system does not tell.
func slept() time.Duration {
	var awake, always unix.Timespec
	if unix.ClockGettime(awakeOnly, &awake) != nil || unix.ClockGettime(asleepToo, &always) != nil {
		return 0
	}
	return time.Duration(always.Nano() - awake.Nano())
}
