package main

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hexed is a text as strace -xx writes it.
func hexed(text string) string {
	var b strings.Builder
	for _, c := range []byte(text) {
		fmt.Fprintf(&b, `\x%02x`, c)
	}
	return `"` + b.String() + `"`
}

func TestCallsOfATrace(t *testing.T) {
	trace := "10 openat(AT_FDCWD, " + hexed("/d/a") + ", O_RDWR|O_CREAT|O_EXCL|O_CLOEXEC, 0600) = 5\n" +
		"11 fsync(7 <unfinished ...>\n" +
		"10 write(5, " + hexed("two\n") + ", 4)        = 4\n" +
		"11 <... fsync resumed>)            = 0\n" +
		"10 unlinkat(AT_FDCWD, " + hexed("b") + ", 0) = -1 ENOENT (No such file or directory)\n" +
		"10 --- SIGURG {si_signo=SIGURG} ---\n10 +++ exited with 0 +++\n"
	all, err := calls(trace)
	require.NoError(t, err)
	require.Len(t, all, 3, "one that failed has changed nothing")
	assert.Equal(t, []string{"openat", "write", "fsync"}, []string{all[0].name, all[1].name, all[2].name})
	assert.Equal(t, []string{"/d/a"}, all[0].paths("/elsewhere"))
	assert.Equal(t, 5, all[0].gave)
	assert.Equal(t, []string{"two\n"}, all[1].texts)
	assert.Equal(t, 7, all[2].number(0))
	_, err = calls("10 write(5, " + hexed("two") + "..., 400) = 400\n")
	assert.ErrorContains(t, err, "cut short")
}

// played are the worst that power cuts do while a program makes some calls, each checked by
// the witness.
func played(t *testing.T, o options, script ...string) error {
	t.Helper()
	d, err := newDisk(o.temporary)
	require.NoError(t, err)
	text := strings.ReplaceAll(strings.Join(script, "\n")+"\n", "/d/", o.temporary+"/")
	var lines []string
	for line := range strings.Lines(text) {
		name, rest, _ := strings.Cut(strings.TrimSuffix(line, "\n"), "(")
		args, gave, _ := strings.Cut(rest, ") = ")
		fields := strings.Split(args, ", ")
		for i, f := range fields {
			if strings.HasPrefix(f, "'") {
				fields[i] = hexed(strings.ReplaceAll(strings.Trim(f, "'"), `\n`, "\n"))
			}
		}
		lines = append(lines, "1 "+name+"("+strings.Join(fields, ", ")+") = "+gave)
	}
	all, err := calls(strings.Join(lines, "\n") + "\n")
	require.NoError(t, err)
	require.Len(t, all, len(script))
	w := newWitness(d)
	require.NoError(t, w.foresee(all))
	var came error
	look := func() {
		for what, s := range d.cuts() {
			if err := w.holds(o, s); err != nil {
				came = errors.Join(came, fmt.Errorf("%s: %w", what, err))
			}
		}
	}
	for _, c := range all {
		require.NoError(t, d.take(c))
		w.saw(c)
		look()
	}
	w.allReported()
	look()
	return came
}

const (
	opened   = "openat(AT_FDCWD, '/d/.f.part', O_RDWR|O_CREAT|O_EXCL, 0600) = 5"
	written  = "write(5, 'content', 7) = 7"
	synced   = "fsync(5) = 0"
	closed   = "close(5) = 0"
	renamed  = "renameat(AT_FDCWD, '/d/.f.part', AT_FDCWD, '/d/site.yaml') = 0"
	folder   = "openat(AT_FDCWD, '/d/', O_RDONLY) = 6"
	synced6  = "fsync(6) = 0"
	reported = "write(1, 'site.yaml written', 17) = 17"
)

// A disk that keeps what it has to, and nothing else, tells each step that is left out of
// replacing a file.
func TestWhatAFileNeedsToSurviveAPowerCut(t *testing.T) {
	assert.NoError(t, played(t, here(t), opened, written, synced, closed, renamed, folder, synced6, reported))
	assert.ErrorContains(t, played(t, here(t), opened, written, closed, renamed, folder, synced6, reported),
		"site.yaml has 0 bytes that are neither", "the content was not synced")
	assert.ErrorContains(t, played(t, here(t), opened, written, synced, closed, renamed, reported),
		"site.yaml is gone, and was reported", "the folder was not synced")
	assert.ErrorContains(t, played(t, here(t), opened, written, synced, closed, renamed),
		"site.yaml is gone, and was reported", "nor by the end")
	const inPlace = "openat(AT_FDCWD, '/d/site.yaml', O_WRONLY|O_CREAT|O_TRUNC, 0600) = 5"
	assert.ErrorContains(t, played(t, here(t), reported, inPlace, written, synced, closed, folder, synced6),
		"neither its old content nor its new one", "written in its place")
}

// The same of a journal: each entry is synced before the screen goes on.
func TestWhatAJournalNeedsToSurviveAPowerCut(t *testing.T) {
	_, data := shop(t)
	lines := strings.SplitAfter(string(data), "\n")
	o := here(t)
	d, err := newDisk(o.temporary)
	require.NoError(t, err)
	path := o.temporary + "/journal.jsonl"
	w := newWitness(d)
	do := func(c call) {
		require.NoError(t, d.take(c))
		w.saw(c)
	}
	appended := func(i int) call {
		return call{name: "write", args: "5, …, 0", texts: []string{lines[i]}, gave: len(lines[i])}
	}
	worst := func() (came error) {
		for _, s := range d.cuts() {
			came = errors.Join(came, w.holds(o, s))
		}
		return came
	}
	do(call{name: "openat", args: "AT_FDCWD, …, O_WRONLY|O_CREAT|O_APPEND", texts: []string{path}, gave: 5})
	do(call{name: "openat", args: "AT_FDCWD, …, O_RDONLY", texts: []string{o.temporary}, gave: 6})
	do(call{name: "fsync", args: "6"})
	for i := range 40 {
		do(appended(i))
		require.NoError(t, worst(), "torn, and not yet acknowledged")
		do(call{name: "fsync", args: "5"})
		require.NoError(t, worst())
	}
	own := 40
	for len(factsIn([]byte(lines[own]))) == 0 {
		do(appended(own))
		own++
	}
	do(appended(own))
	do(call{name: "write", args: "1, …, 5", texts: []string{"next\n"}, gave: 5})
	assert.ErrorContains(t, worst(), "entries were acknowledged", "said before it was synced")
	do(call{name: "fsync", args: "5"})
	require.NoError(t, worst())

	bad := strings.Replace(string(data), `"n":20`, `"n":21`, 1)
	assert.ErrorContains(t, opens(o, []byte(bad), nil), "it does not open")
	assert.ErrorContains(t, opens(o, data[:len(data)/2], data), "entries were acknowledged")
}

// What the proof cannot follow ends it: nothing is overlooked.
func TestUnknownCallsAreRefused(t *testing.T) {
	o := here(t)
	d, err := newDisk(o.temporary)
	require.NoError(t, err)
	for _, name := range []string{"copy_file_range", "writev", "dup2", "truncate", "symlinkat"} {
		assert.ErrorContains(t, d.take(call{name: name, args: "5"}), "cannot follow", name)
	}
	assert.NoError(t, d.take(call{name: "mkdirat", texts: []string{"/elsewhere/x"}}), "none of the disk's business")
}

func TestSectorsThatAreMissing(t *testing.T) {
	f := &file{data: []byte(strings.Repeat("a", 600) + strings.Repeat("b", 900)), synced: []byte(strings.Repeat("a", 600))}
	d := &disk{root: "/d", live: map[string]*file{"/d/f": f}, touched: f}
	d.durable = d.live
	cuts := d.cuts()
	hole := cuts["without the sector at 512"]["/d/f"]
	assert.Equal(t, strings.Repeat("a", 600), string(hole[:600]), "what was synced stays")
	assert.Equal(t, make([]byte, 424), hole[600:1024])
	assert.Equal(t, strings.Repeat("b", 476), string(hole[1024:]))
	assert.Len(t, cuts["cut at byte 1280"]["/d/f"], 1280)
	assert.Equal(t, f.synced, cuts["names without content"]["/d/f"])
	assert.Len(t, cuts["names and NULs for content"]["/d/f"], 1500)
}
