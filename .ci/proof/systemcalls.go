package main

import (
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

// call is what the program asked of the system, once it was done.
type call struct {
	name  string
	args  string   // as strace writes them
	texts []string // its arguments that are strings
	gave  int
}

// followed are the calls that change what is on a disk, or say something. What is not
// understood of them is refused when they come.
const followed = "openat,open,creat,write,pwrite64,writev,fsync,fdatasync,close,rename,renameat,renameat2,link," +
	"linkat,unlink,unlinkat,mkdir,mkdirat,rmdir,ftruncate,truncate,dup,dup2,dup3,copy_file_range,sendfile,symlinkat"

// noTrace says what is missing, for notTried.
const noTrace = "strace is not installed, or may not trace"

// mayTrace tells whether calls can be followed here.
func mayTrace(ctx context.Context) bool {
	return exec.CommandContext(ctx, "strace", "-f", "--seccomp-bpf", "-o", os.DevNull, "true").Run() == nil
}

// traced runs the program and returns what it asked of the system. It has to succeed.
func (o options) traced(ctx context.Context, dir string, env []string, stdin string, args ...string) ([]call, error) {
	ctx, cancel := context.WithTimeout(ctx, longestRun)
	defer cancel()
	trace, err := os.CreateTemp(o.temporary, "trace-")
	if err != nil {
		return nil, err
	}
	defer os.Remove(trace.Name())
	defer trace.Close()

	const longest = 64 << 20
	cmd := exec.CommandContext(ctx, "strace", append([]string{"-f", "--seccomp-bpf", "-xx", "-s", strconv.Itoa(longest),
		"-e", "trace=" + followed, "-o", trace.Name(), o.program}, args...)...)
	cmd.Dir, cmd.Env, cmd.Stdin = dir, append(os.Environ(), env...), strings.NewReader(stdin)
	if out, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%s: %w: %s", strings.Join(args, " "), err, out)
	}
	text, err := io.ReadAll(trace)
	if err != nil {
		return nil, err
	}
	return calls(string(text))
}

var (
	callLine    = regexp.MustCompile(`^(\d+) +(\w+)\((.*)\) += (-?\d+|\?)`)
	resumedLine = regexp.MustCompile(`^(\d+) +<\.\.\. \w+ resumed>(.*)$`)
	quoted      = regexp.MustCompile(`"((?:\\x[0-9a-f]{2})*)"(\.\.\.)?`)
)

const unfinished = " <unfinished ...>"

// calls reads what strace wrote. A call that another thread's interrupts stands where it
// was done.
func calls(text string) (all []call, err error) {
	half := map[string]string{} // by thread
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		thread, _, _ := strings.Cut(line, " ")
		if begun, is := strings.CutSuffix(line, unfinished); is {
			half[thread] = begun
			continue
		}
		if m := resumedLine.FindStringSubmatch(line); m != nil {
			line = half[thread] + m[2]
		}
		m := callLine.FindStringSubmatch(line)
		if m == nil || m[4] == "?" || strings.HasPrefix(m[4], "-") {
			continue // a signal, an exit, or a call that failed and changed nothing
		}
		c := call{name: m[2], args: m[3]}
		if c.gave, err = strconv.Atoi(m[4]); err != nil {
			return nil, err
		}
		for _, q := range quoted.FindAllStringSubmatch(c.args, -1) {
			if q[2] != "" {
				return nil, errors.New("a text was cut short")
			}
			raw, err := hex.DecodeString(strings.ReplaceAll(q[1], `\x`, ""))
			if err != nil {
				return nil, err
			}
			c.texts = append(c.texts, string(raw))
		}
		all = append(all, c)
	}
	return all, nil
}

// number is the argument at a place, where all before it are numbers, or it is the last.
func (c call) number(place int) int {
	fields := strings.Split(c.args, ", ")
	if place < 0 {
		place += len(fields)
	}
	n, err := strconv.Atoi(fields[place])
	if err != nil {
		return -1
	}
	return n
}

// paths are the call's paths, absolute.
func (c call) paths(dir string) []string {
	var all []string
	for _, p := range c.texts {
		if !filepath.IsAbs(p) {
			p = filepath.Join(dir, p)
		}
		all = append(all, filepath.Clean(p))
	}
	return all
}
