package clock

import "golang.org/x/sys/unix"

// clock_gettime(2), Linux (from memory).
const awakeOnly, asleepToo = unix.CLOCK_MONOTONIC, unix.CLOCK_BOOTTIME
