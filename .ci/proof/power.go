package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// power cuts the power at each write, sync and rename of the real program: its system calls
// are traced, and played on a disk that keeps what was synced and of the rest nothing,
// all, names only, lengths only, or all but a sector. Each entry whose sync had returned
// has to be there when the journal is opened again, and the journal goes on. Any other file
// is there with its old or its new content, or not at all before it was reported; after
// that, or at the end of the program, it is there.
type power struct{}

func (power) name() string { return "power" }

// scene is a command that is traced.
type scene struct {
	args  string
	stdin string
	short bool // part of a short proof; the others are only done there, so that their files are there
	// before spoils the job first, as an earlier break may have.
	before func(dir string) error
}

const interview = "0123\nGlaze Works\n1 Clay Lane\n\nBellbird\n\nEN 50131-1\n2\n\neight-zone controller\n\n180 mA\n" +
	"no\nnormally closed\nHall\nmotion\nMotion\n\n15 mA\nno\n2 A\nlead-acid\n7 Ah\n6\n" +
	"2026-11-20\n13.65 V\n500 mA\n10 C\nno\n12 h\n15 min\nas agreed\nwrite\n"

var scenes = []scene{
	{args: "demo --job job"},
	{args: "key new --name Bellbird", short: true},
	{args: "visit attach photograph.jpg --about site --job job", before: photograph},
	{args: "certify --job job", short: true},
	{args: "visit start --kind handover --job job --simulated-time --answers answers.yaml"},
	{args: "visit resume --job job --simulated-time --answers answers.yaml", before: tornTail, short: true},
	{args: "site new --job other", stdin: interview},
}

func (power) run(ctx context.Context, o options) (result, error) {
	if !mayTrace(ctx) {
		return notTried(noTrace)
	}
	dir, err := o.folder("power-")
	if err != nil {
		return result{}, err
	}
	if dir, err = filepath.EvalSymlinks(dir); err != nil {
		return result{}, err
	}
	answers, err := os.ReadFile(filepath.Join(o.root, "cmd", "loopwitness", "demo", "answers.yaml"))
	if err != nil {
		return result{}, err
	}
	if err := os.WriteFile(filepath.Join(dir, "answers.yaml"), answers, 0o600); err != nil {
		return result{}, err
	}
	t := newTally()
	for _, s := range scenes {
		if err := o.cutDuring(ctx, t, dir, s); err != nil {
			return result{}, err
		}
	}
	t.note("%d commands", len(scenes))
	return t.result(), nil
}

// cutDuring traces a command and cuts the power at each of its calls.
func (o options) cutDuring(ctx context.Context, t *tally, dir string, s scene) error {
	if s.before != nil {
		if err := s.before(dir); err != nil {
			return err
		}
	}
	d, err := newDisk(dir)
	if err != nil {
		return err
	}
	w := newWitness(d)
	env := []string{"HOME=" + dir, "XDG_CONFIG_HOME=" + filepath.Join(dir, "config"),
		"LOOPWITNESS_PASSPHRASE=tall blue vase"}
	all, err := o.traced(ctx, dir, env, s.stdin, strings.Fields(s.args)...)
	if err != nil {
		return err
	}
	if o.short && !s.short {
		return nil
	}
	if err := w.foresee(all); err != nil {
		return err
	}
	seen := map[[sha256.Size]byte]bool{}
	for n, c := range all {
		if err := d.take(c); err != nil {
			return err
		}
		w.saw(c)
		if err := w.cut(ctx, o, t, fmt.Sprintf("%s, at call %d", s.args, n), seen); err != nil {
			return err
		}
	}
	w.allReported()
	return w.cut(ctx, o, t, s.args+", at its end", seen)
}

// photograph lays a picture beside the job.
func photograph(dir string) error {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 640, 480)), nil); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, "photograph.jpg"), b.Bytes(), 0o600)
}

// tornTail takes the end of the newest visit away, in the middle of an entry.
func tornTail(dir string) error {
	all, err := filepath.Glob(filepath.Join(dir, "job", "visits", "*", "journal.jsonl"))
	if err != nil || len(all) == 0 {
		return errors.Join(err, fs.ErrNotExist)
	}
	path := all[len(all)-1]
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	lines := bytes.SplitAfter(data, []byte("\n"))
	const left = 25
	some := bytes.Join(lines[:len(lines)-left], nil)
	return os.WriteFile(path, some[:len(some)-40], 0o600)
}
