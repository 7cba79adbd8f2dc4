package clock

import "golang.org/x/sys/unix"

// clock_gettime(3), macOS (from memory).
const awakeOnly, asleepToo = unix.CLOCK_UPTIME_RAW, unix.CLOCK_MONOTONIC_RAW
