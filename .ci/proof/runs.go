package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"time"
)

const (
	longestCommand = 10 * time.Second // that reads a file from anybody
	mostResident   = 512 << 20        // bytes
	mostSaid       = 1 << 20          // bytes of what a command writes that are looked at
)

// command is a run of the program that has to end soon and in little memory.
type command struct {
	dir   string
	env   []string // beside that of the proof
	args  []string
	stdin string
}

// ran is what came of it.
type ran struct {
	code   int
	said   string // beginning of what it wrote
	took   time.Duration
	memory int64 // bytes, the most that was resident
}

// runs runs a command. One that does not end in time, ends by a signal or uses too much memory is
// an error, as is one whose words are those of a fault.
func (o options) runs(ctx context.Context, c command) (r ran, err error) {
	limited, stop := context.WithTimeout(ctx, longestCommand)
	defer stop()
	cmd := exec.CommandContext(limited, o.program, c.args...)
	cmd.Dir, cmd.Env, cmd.Stdin = c.dir, append(os.Environ(), c.env...), strings.NewReader(c.stdin)
	cmd.WaitDelay = time.Second
	out := &beginning{}
	cmd.Stdout, cmd.Stderr = out, out
	began := time.Now()
	if err := cmd.Start(); err != nil {
		return r, err
	}
	watching := watchMemory(cmd.Process.Pid)
	err = cmd.Wait()
	r = ran{code: cmd.ProcessState.ExitCode(), said: out.String(), took: time.Since(began)}
	r.memory = resident(cmd.ProcessState.SysUsage(), watching())
	var exit *exec.ExitError
	switch {
	case ctx.Err() != nil:
		return r, ctx.Err()
	case limited.Err() != nil:
		return r, fmt.Errorf("it hangs: no end after %s", longestCommand)
	case err != nil && !errors.As(err, &exit):
		return r, err
	case r.code < 0:
		return r, fmt.Errorf("it ended by a signal: %w", err)
	case r.memory > mostResident:
		return r, fmt.Errorf("%d MB were resident", r.memory>>20)
	case wordsOfFaults.MatchString(r.said):
		return r, fmt.Errorf("it says: %.300s", r.said)
	}
	return r, nil
}

// wordsOfFaults are what a program writes that has a fault.
var wordsOfFaults = regexp.MustCompile(`(?m)^panic: |^goroutine \d+ \[|runtime error|has a fault`)

// beginning keeps the beginning of what is written to it.
type beginning struct{ bytes.Buffer }

func (b *beginning) Write(p []byte) (int, error) {
	b.Buffer.Write(p[:min(len(p), mostSaid-b.Len())])
	return len(p), nil
}

// watchMemory looks at a process until what it returns is called, which tells the most that
// was resident.
func watchMemory(pid int) (stop func() int64) {
	const every = 2 * time.Millisecond
	over, most := make(chan struct{}), make(chan int64, 1)
	go func() {
		tick := time.NewTicker(every)
		defer tick.Stop()
		var top int64
		for {
			select {
			case <-tick.C:
				top = max(top, peak(strconv.Itoa(pid)))
			case <-over:
				most <- top
				return
			}
		}
	}()
	return func() int64 {
		close(over)
		return <-most
	}
}

var peakLine = regexp.MustCompile(`VmHWM:\s+(\d+) kB`)

// peak is the most that was resident of a process, in bytes; 0 where it is gone.
func peak(process string) int64 {
	status, _ := os.ReadFile("/proc/" + process + "/status")
	m := peakLine.FindSubmatch(status)
	if m == nil {
		return 0
	}
	kilobytes, _ := strconv.ParseInt(string(m[1]), 10, 64) // digits
	return kilobytes << 10
}

// resident is the most that was resident of a process that has ended. What the system counts
// is exact, but counts the proof's own, too, where that is more; then it is what was seen.
func resident(usage any, seen int64) int64 {
	u, is := usage.(*syscall.Rusage)
	if !is {
		return seen
	}
	counted := u.Maxrss << 10
	if counted <= peak("self") {
		return min(counted, seen)
	}
	return counted
}
