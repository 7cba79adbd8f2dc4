// Command against-html certifies the visit of a site with many detectors, and has a headless
// browser print the same rows from HTML, in the same run, and prints what both took.
//
//	go run ./.ci/against-html                    1,000 detectors, the best of three runs of each
//	go run ./.ci/against-html -detectors 100
//	go run ./.ci/against-html -anyway            whatever the ratio is
//
// A certificate is made by a process of its own, as the command makes it: the journal is read,
// folded, judged, laid out, drawn, packed, and all of it sealed and written. The browser gets a
// file that was written before it starts: the same sections and rows, and no charts, attachments
// or seal. Both are timed from the start of the process to its end, and on the same computer at
// the same load. Exit status: 0 the browser takes at least five times as long; 1 it does not; 2
// it could not be run, for one because there is no chromium.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"time"

	"loopwitness/commission/job"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/collecting"
	"loopwitness/report/certify"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
)

const (
	wanted = 5 // times as long, at least
	visit  = "walk"
	inside = "LOOPWITNESS_AGAINST_HTML" // folder of a job, for the process that certifies
)

func main() {
	if dir := os.Getenv(inside); dir != "" {
		fail(certified(dir))
		return
	}
	detectors := flag.Int("detectors", 1000, "how many detectors the site has")
	runs := flag.Int("runs", 3, "how often each is run; the best counts")
	anyway := flag.Bool("anyway", false, "the ratio is no matter")
	flag.Parse()
	faster, err := compare(*detectors, *runs)
	fail(err)
	if !faster && !*anyway {
		fmt.Printf("less than %d times\n", wanted)
		os.Exit(1)
	}
}

func fail(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, "against-html:", err)
		os.Exit(2)
	}
}

// certified writes a certificate as the command does, with a key that is made for it.
func certified(dir string) error {
	v, err := job.At(dir).Visit(visit)
	if err != nil {
		return err
	}
	id, err := identity.New(identity.Subject{Name: "measured"}, time.Now(), 1)
	if err != nil {
		return err
	}
	defer collecting.WhileWriting()()
	_, err = certify.Visit(context.Background(), v, certify.Options{Key: certify.Key{Identity: id, ThrowAway: true},
		Tool: "measured", Clock: clock.Real{}})
	return err
}

func compare(detectors, runs int) (faster bool, err error) {
	browser, err := exec.LookPath("chromium")
	if err != nil {
		return false, err
	}
	dir, err := os.MkdirTemp("", "against-html-*")
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	contents, err := handedOver(dir, detectors)
	if err != nil {
		return false, err
	}
	assessment, err := evidence.Judge(contents)
	if err != nil {
		return false, err
	}
	html := filepath.Join(dir, "rows.html")
	if err := os.WriteFile(html, page(assessment), 0o600); err != nil {
		return false, err
	}
	here, err := os.Executable()
	if err != nil {
		return false, err
	}
	printed := filepath.Join(dir, "rows.pdf")
	var ours, theirs spent
	for range runs {
		one, err := run(exec.Command(here), inside+"="+dir)
		if err != nil {
			return false, err
		}
		ours.better(one)
		one, err = run(exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
			"--user-data-dir="+filepath.Join(dir, "browser"), "--print-to-pdf="+printed, "file://"+html))
		if err != nil {
			return false, err
		}
		theirs.better(one)
	}
	certificates, err := filepath.Glob(filepath.Join(dir, "certificates", "*.pdf"))
	if err != nil || len(certificates) != runs {
		return false, errors.Join(err, fmt.Errorf("%d certificates were written", len(certificates)))
	}
	fmt.Printf("%d detectors, the best of %d\n", detectors, runs)
	row := func(what string, s spent, file string) {
		info, failed := os.Stat(file)
		if err = errors.Join(err, failed); failed == nil {
			fmt.Printf("  %-26s %6.2f s, %6.2f s of processors, %4d MiB at most, %5d kB\n", what, s.time.Seconds(),
				s.processors.Seconds(), s.memory>>20, info.Size()/1000)
		}
	}
	row("certified and sealed", ours, certificates[0])
	row("printed from HTML", theirs, printed)
	ratio := theirs.time.Seconds() / ours.time.Seconds()
	fmt.Printf("  %.1f times as long\n", ratio)
	return ratio >= wanted, err
}

// spent is what a process took.
type spent struct {
	time, processors time.Duration
	memory           int64 // bytes, the most that was resident; of a browser, of its first process
}

func (s *spent) better(than spent) {
	if s.time == 0 || than.time < s.time {
		*s = than
	}
}

func run(cmd *exec.Cmd, environment ...string) (spent, error) {
	cmd.Env = append(os.Environ(), environment...)
	begun := time.Now()
	out, err := cmd.CombinedOutput()
	took := time.Since(begun)
	if err != nil {
		return spent{}, fmt.Errorf("%s: %w: %s", cmd.Path, err, out)
	}
	s := spent{time: took, processors: cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()}
	if used, is := cmd.ProcessState.SysUsage().(*syscall.Rusage); is {
		s.memory = used.Maxrss << 10
	}
	return s, nil
}
