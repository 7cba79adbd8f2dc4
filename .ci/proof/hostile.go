package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"time"

	"loopwitness/report/identity"
	"loopwitness/report/verify/hostile"
)

// hostileFiles gives every command that takes a path what no command can use: pipes, devices,
// folders, links in a circle, and files that are empty, cut, spoiled, or made to stall and swell
// whoever reads them. Each has to be refused with words, in time and in bounded memory.
type hostileFiles struct{}

func (hostileFiles) name() string { return "hostile" }

func (hostileFiles) run(ctx context.Context, o options) (result, error) {
	dir, err := o.folder("hostile-")
	if err != nil {
		return result{}, err
	}
	defer os.RemoveAll(dir)
	f := newOffice(o, dir)
	if err := f.furnish(ctx); err != nil {
		return result{}, err
	}
	t := newTally()
	var longest, largest measure
	attempts, err := f.attempts()
	if err != nil {
		return result{}, err
	}
	if err := f.control(ctx); err != nil {
		return result{}, err
	}
	rng := rand.New(rand.NewPCG(o.seed, 7))
	rng.Shuffle(len(attempts), func(i, j int) { attempts[i], attempts[j] = attempts[j], attempts[i] })
	tried := attempts[:o.of(len(attempts), 40)]
	err = each(ctx, len(tried), func(i int) error {
		a := tried[i]
		r, came, err := f.faces(ctx, fmt.Sprintf("job-%d", i), a)
		t.try(a.name(), came)
		t.most(&longest, int64(r.took))
		t.most(&largest, r.memory)
		return err
	})
	t.note("%d ways to take a path; %d kinds of files; longest %.1f s, most %d MB", len(slots), len(kindsOf(tried)),
		time.Duration(longest).Seconds(), int64(largest)>>20)
	return t.result(), err
}

// measure is the most of something.
type measure int64

func (t *tally) most(m *measure, is int64) {
	t.mu.Lock()
	defer t.mu.Unlock()
	*m = max(*m, measure(is))
}

// slot is a way in which a command takes a path. Of its arguments, FILE is the path itself.
// Where the path is fixed in a job, there is the place.
type slot struct {
	args  string
	place string // in the job's folder, for a path that is not typed
	good  string // a file that would do, in the office
	// plain: what is spoiled may be as good as before, since nothing seals it.
	plain  bool
	folder bool // no file would do
	code   int  // exit code for the good file
}

const certificateFile, journalFile, unfinishedFile, ofJob = "certificate.pdf", "journal.jsonl", "unfinished.jsonl",
	"--job JOB "

var slots = []slot{
	{args: "verify FILE", good: certificateFile},
	{args: "verify certificate.pdf FILE", good: certificateFile},
	{args: "verify --json FILE", good: certificateFile},
	{args: "verify certificate.pdf --trust FILE", good: "signer.pem", plain: true},
	{args: "verify certificate.pdf --trust-time FILE", good: "signer.pem", plain: true, code: 1},
	{args: "record FILE", good: certificateFile},
	{args: "record certificate.pdf --trust FILE", good: "signer.pem", plain: true},
	{args: ofJob + "record", place: "visits/1/journal.jsonl", good: journalFile},
	{args: ofJob + "visit show", place: "visits/1/journal.jsonl", good: journalFile},
	{args: ofJob + "certify", place: "visits/1/journal.jsonl", good: journalFile},
	{args: ofJob + "visit resume --simulated-time --answers answers.yaml", place: "visits/1/journal.jsonl",
		good: unfinishedFile},
	{args: ofJob + "visit attach 1.jpg --about site", place: "visits/1/journal.jsonl", good: journalFile},
	{args: ofJob + "visit discard --reason slip --by me", place: "visits/1/journal.jsonl", good: unfinishedFile},
	{args: ofJob + "visit attach FILE --about site", good: "1.jpg", plain: true},
	{args: ofJob + "site check", place: "site.yaml", good: "site.yaml", plain: true},
	{args: ofJob + "site show", place: "site.yaml", good: "site.yaml", plain: true},
	{args: ofJob + "limits", place: "site.yaml", good: "site.yaml", plain: true},
	{args: ofJob + "site check", place: "controller.yaml", good: "controller.yaml", plain: true},
	{args: ofJob + starts + "answers.yaml", place: "controller.yaml", good: "controller.yaml", plain: true},
	{args: ofJob + starts + "answers.yaml", place: "checklist-handover.yaml", good: "checklist.yaml", plain: true},
	{args: ofJob + starts + "FILE", good: "answers.yaml", plain: true},
	{args: "site new --job new --answers FILE", good: "answers.yaml", plain: true, code: 2},
	{args: "key show --key FILE", good: "key.p12", plain: true},
	{args: "key request --key FILE", good: "key.p12"},
	{args: ofJob + "certify --key FILE", good: "key.p12"},
	{args: "key import FILE --key JOB/imported.p12", good: "key.p12"},
	{args: "key import FILE --key JOB/key.p12", good: "signer.pem", plain: true},
	{args: "site show --job FILE", good: "site.yaml", folder: true},
	{args: "demo --job FILE", good: "site.yaml", folder: true},
}

const starts = "visit start --kind handover --beside --simulated-time --answers "

// lay puts something at a path.
type lay func(path string) error

// attempt is a slot with something in it.
type attempt struct {
	slot
	kind    string
	lay     lay
	mayHold bool // it may be as good as before
}

func (a attempt) name() string {
	at := strings.Replace(a.args, ofJob, "", 1)
	if a.place != "" {
		at += " with " + a.place
	}
	return a.kind + ", " + at
}

func kindsOf(all []attempt) map[string]bool {
	kinds := map[string]bool{}
	for _, a := range all {
		kinds[a.kind] = true
	}
	return kinds
}

// specials are no files that anybody can read to their end, or none at all.
var specials = map[string]lay{
	"a named pipe":         func(path string) error { return syscall.Mkfifo(path, 0o600) },
	"a device without end": func(path string) error { return os.Symlink("/dev/zero", path) },
	"a device of noise":    func(path string) error { return os.Symlink("/dev/urandom", path) },
	"a folder":             func(path string) error { return os.Mkdir(path, 0o700) },
	"a link to itself":     func(path string) error { return os.Symlink(filepath.Base(path), path) },
	"links in a circle": func(path string) error {
		return errors.Join(os.Symlink(path+".b", path), os.Symlink(path, path+".b"))
	},
	"a link to nothing": func(path string) error { return os.Symlink("nowhere", path) },
	"a link to memory":  func(path string) error { return os.Symlink("/proc/self/mem", path) },
	"a socket": func(path string) error {
		s, err := syscall.Socket(syscall.AF_UNIX, syscall.SOCK_STREAM, 0)
		if err != nil {
			return err
		}
		defer syscall.Close(s)
		return syscall.Bind(s, &syscall.SockaddrUnix{Name: path})
	},
	"nothing at all": func(string) error { return nil },
}

// swellings are files that are large, or deep.
var swellings = map[string]func() []byte{
	"empty":                func() []byte { return nil },
	"40 MB of zeros":       func() []byte { return make([]byte, 40<<20) },
	"100 MB of zeros":      func() []byte { return make([]byte, 100<<20) },
	"30 MB of brackets":    func() []byte { return many("[", 30<<20) },
	"a million brackets":   func() []byte { return many("[", 1e6) },
	"a million keys":       func() []byte { return many("a: {", 4e6) },
	"30 MB on one line":    func() []byte { return many("a", 30<<20) },
	"3 million lines":      func() []byte { return many("- a: b\n", 21e6) },
	"names that refer":     aliases,
	"2 MB of empty lines":  func() []byte { return many("\n", 2<<20) },
	"text that is no text": func() []byte { return many("\xff\xfe\x00", 3000) },
}

func many(s string, size int) []byte { return []byte(strings.Repeat(s, size/len(s))) }

// aliases is YAML that is nine to the ninth long, written out.
func aliases() []byte {
	var b strings.Builder
	b.WriteString("a0: &a0 [x]\n")
	for i := range 9 {
		fmt.Fprintf(&b, "a%d: &a%[1]d [%s*a%d]\n", i+1, strings.Repeat(fmt.Sprintf("*a%d, ", i), 8), i)
	}
	return []byte(b.String())
}

// attempts are all slots with all that can be put there.
func (f office) attempts() (all []attempt, err error) {
	rng := rand.New(rand.NewPCG(f.o.seed, 5))
	for _, s := range slots {
		good, err := os.ReadFile(filepath.Join(f.dir, s.good))
		if err != nil {
			return nil, err
		}
		for _, kind := range sorted(specials) {
			all = append(all, attempt{s, kind, specials[kind], absent(s, kind)})
		}
		for _, kind := range sorted(swellings) {
			all = append(all, attempt{slot: s, kind: kind, lay: fileOf(swellings[kind]),
				mayHold: s.place == "controller.yaml" && strings.Contains(kind, "empty")})
		}
		for i := range 4 {
			all = append(
				all,
				attempt{
					s,
					fmt.Sprintf("cut %d", i+1),
					fileOf(cut(good, rng.IntN(len(good)))),
					s.plain || strings.HasSuffix(s.good, ".jsonl"),
				},
				attempt{
					s,
					fmt.Sprintf("a bit flipped %d", i+1),
					fileOf(flip(good, rng.IntN(len(good)), rng.IntN(8))),
					s.plain,
				},
				attempt{s, fmt.Sprintf("noise %d", i+1), fileOf(noise(rng.Uint64(), 1<<(8+4*i))), false},
			)
		}
	}
	return append(all, f.certificates()...), nil
}

// control holds that each way is one: with a file that would do, the command does it. Otherwise
// all would be refused.
func (f office) control(ctx context.Context) error {
	return each(ctx, len(slots), func(i int) error {
		s := slots[i]
		good, err := os.ReadFile(filepath.Join(f.dir, s.good))
		if err != nil || s.folder {
			return err
		}
		a := attempt{slot: s, kind: "as it is", lay: fileOf(func() []byte { return good }), mayHold: true}
		r, came, err := f.faces(ctx, fmt.Sprintf("control-%d", i), a)
		if err == nil && (came != nil || r.code != s.code) {
			err = fmt.Errorf("%s: %v, exit code %d: %s", a.name(), came, r.code, r.said)
		}
		return err
	})
}

// absent tells whether a path may have nothing: an optional file, or where a new job is to be.
func absent(s slot, kind string) bool {
	isNew := strings.HasPrefix(s.args, "demo")
	optional := s.place == "controller.yaml" || strings.HasPrefix(s.place, "checklist") ||
		strings.HasSuffix(s.args, "limits")
	return kind == "nothing at all" && (optional || isNew) || kind == "a folder" && isNew
}

func sorted[V any](m map[string]V) (keys []string) {
	for key := range m {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	return keys
}

func fileOf(content func() []byte) lay {
	return func(path string) error { return os.WriteFile(path, content(), 0o600) }
}

func cut(good []byte, at int) func() []byte { return func() []byte { return good[:at] } }

func flip(good []byte, at, bit int) func() []byte {
	return func() []byte {
		spoiled := slices.Clone(good)
		spoiled[at] ^= 1 << bit
		return spoiled
	}
}

func noise(seed uint64, size int) func() []byte {
	return func() []byte {
		rng := rand.New(rand.NewPCG(seed, 1))
		all := make([]byte, size)
		for i := range all {
			all[i] = byte(rng.Uint32())
		}
		return all
	}
}

// certificates are those of report/verify/hostile, for whoever reads one.
func (f office) certificates() (all []attempt) {
	key, err := identity.New(identity.Subject{Name: "x"}, time.Now(), 5)
	if err != nil {
		panic(err)
	}
	honest, err := os.ReadFile(filepath.Join(f.dir, journalFile))
	if err != nil {
		panic(err)
	}
	forger := hostile.Forger{Honest: honest, Key: key, Made: time.Now().UTC().Truncate(time.Second)}
	for _, file := range forger.Files() {
		for _, s := range slots[:1] {
			all = append(all, attempt{slot: s, kind: "certificate: " + file.Name, lay: fileOf(file.Make)})
		}
	}
	return all
}

// furnish lays a job and files that would do into the office.
func (f office) furnish(ctx context.Context) error {
	if err := f.picture("1.jpg", 40); err != nil {
		return err
	}
	for _, args := range []string{"key new --name Bellbird", "demo --job job", "certify --job job"} {
		if err := f.does(ctx, args); err != nil {
			return err
		}
	}
	visits, err := filepath.Glob(filepath.Join(f.dir, "job", "visits", "*-maintenance", "journal.jsonl"))
	if err != nil || len(visits) != 1 {
		return fmt.Errorf("one visit, %v: %w", visits, err)
	}
	visit := filepath.Dir(visits[0])
	// One visit alone: a journal without a whole first entry is that of a visit that never began, and
	// an earlier one is rightly taken for it.
	others, err := filepath.Glob(filepath.Join(f.dir, "job", "visits", "*-handover"))
	if err != nil || len(others) != 1 || os.RemoveAll(others[0]) != nil {
		return fmt.Errorf("one earlier visit, %v: %w", others, err)
	}
	keys := filepath.Join(f.dir, "config", "loopwitness")
	for to, from := range map[string]string{journalFile: visits[0], "site.yaml": filepath.Join(f.dir, "job", "site.yaml"),
		"controller.yaml": filepath.Join(f.dir, "job", "controller.yaml"), "key.p12": filepath.Join(keys, "signing-key.p12"),
		"job/key.p12": filepath.Join(keys, "signing-key.p12"), "signer.pem": filepath.Join(keys, "signing-key-certificate.pem"),
		certificateFile:  filepath.Join(f.dir, "job", "certificates", filepath.Base(visit)+"-rev2.pdf"),
		"checklist.yaml": filepath.Join(f.o.root, "commission", "programme", "checklists", "handover.yaml"),
		"answers.yaml":   filepath.Join(f.o.root, "cmd", "loopwitness", "demo", "answers.yaml"),
	} {
		text, err := os.ReadFile(from)
		if err == nil {
			err = os.WriteFile(filepath.Join(f.dir, to), text, 0o600)
		}
		if err != nil {
			return err
		}
	}
	whole, err := os.ReadFile(filepath.Join(f.dir, journalFile))
	if err != nil {
		return err
	}
	lines := bytes.SplitAfter(whole, []byte("\n"))
	const left = 25
	unfinished := bytes.Join(lines[:len(lines)-left], nil)
	if err := os.WriteFile(filepath.Join(f.dir, unfinishedFile), unfinished, 0o600); err != nil {
		return err
	}
	return errors.Join(os.RemoveAll(filepath.Join(f.dir, "job", "certificates")),
		os.Rename(visit, filepath.Join(filepath.Dir(visit), "1")))
}

// intact are the words of verify for a file that nobody tampered with.
var intact = regexp.MustCompile(`intact since it was signed,\s+every\s+verdict\s+follows`)

// faces runs a command on a copy of the job. It has to end with 1 or 2, or may with 0 where what
// it was given may be as good as before.
func (f office) faces(ctx context.Context, name string, a attempt) (r ran, came, err error) {
	at := filepath.Join(f.dir, name)
	defer os.RemoveAll(at)
	if err := os.CopyFS(at, os.DirFS(filepath.Join(f.dir, "job"))); err != nil {
		return r, nil, err
	}
	file := filepath.Join(at, "spoiled")
	if a.place != "" {
		file = filepath.Join(at, a.place)
		if err := os.RemoveAll(file); err != nil {
			return r, nil, err
		}
	}
	if err := a.lay(file); err != nil {
		return r, nil, err
	}
	args, job := strings.Fields(a.args), ""
	if strings.HasPrefix(a.args, ofJob) {
		args, job = args[2:], at
	}
	for i := range args {
		args[i] = strings.Replace(strings.Replace(args[i], "FILE", file, 1), "JOB", at, 1)
		if slices.Contains([]string{"new", certificateFile, "answers.yaml", "1.jpg"}, args[i]) &&
			(args[i] != "new" || i > 1) {
			args[i] = filepath.Join(map[bool]string{true: at, false: f.dir}[args[i] == "new"], args[i])
		}
	}
	if job != "" {
		args = append(args, "--job", job)
	}
	r, came = f.o.runs(ctx, command{dir: at, env: f.env, args: args})
	switch {
	case came != nil:
	case r.code == 0 && !a.mayHold:
		came = unnoticed{"exit code 0: " + firstLines(r.said)}
	case r.code != 0 && r.code != 1 && r.code != 2:
		came = fmt.Errorf("exit code %d: %s", r.code, firstLines(r.said))
	case r.code != 0 && !strings.Contains(a.args, certificateFile) && intact.MatchString(r.said):
		came = unnoticed{"called intact: " + firstLines(r.said)}
	case r.code != 0 && r.said == "":
		came = errors.New("it says nothing")
	}
	return r, came, ctx.Err()
}
