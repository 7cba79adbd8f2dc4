package main

import (
	"bytes"
	"context"
	"embed"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
	"loopwitness/report/certify"
	"loopwitness/report/identity"
)

//go:embed demo/*.yaml
var demoFiles embed.FS

func newDemo(s streams) *cobra.Command {
	var dir, gallery, tag string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Run two whole visits on the simulated controller and write their certificates",
		Long: "Run a whole hand-over visit of an invented pottery studio on the simulated controller, unattended and in\n" +
			"simulated time, with one fault that is found, mended and retested; a year later a maintenance visit that\n" +
			"remembers it, with a detector that has become slow and a battery that has become weak; and write both\n" +
			"certificates.\n\n" +
			"With --gallery, write certificates of many kinds instead, to be looked at: of three and of three hundred zones,\n" +
			"all failed, not finished, taken over, with a history, in another language, on other paper, with odd names.\n" +
			exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error {
			if gallery != "" {
				return s.gallery(ctx, gallery)
			}
			l, err := languageOf(tag)
			if err != nil {
				return err
			}
			return demonstrate(ctx, s.speaking(l), dir)
		}),
	}
	languageFlag(cmd, &tag, site.Languages[0])
	cmd.Flags().StringVar(&dir, "job", "loopwitness-demo", "folder to write the demonstration's job to")
	cmd.Flags().StringVar(&gallery, "gallery", "", "new folder to write certificates of many kinds to, each with its job")
	cmd.MarkFlagsMutuallyExclusive("job", "gallery")
	return cmd
}

// layOut writes the demonstration's job folder. change may alter the site.
func layOut(f job.Folder, change func(string) string) error {
	if err := atomicfile.MakeFolder(f.Dir(), 0o700); err != nil {
		return err
	}
	const longest = 1 << 20
	for _, path := range []string{f.SitePath(), f.ControllerPath()} {
		data, err := demoFiles.ReadFile("demo/" + filepath.Base(path))
		if err != nil {
			return err
		}
		if there, err := readfile.All(path, longest); err == nil && firstLine(there) != firstLine(data) {
			return fmt.Errorf("%s is not the demonstration's and is left alone; name another folder with --job", path)
		}
		if err := atomicfile.Replace(path, []byte(change(string(data))), 0o600); err != nil {
			return err
		}
	}
	return nil
}

// firstLine tells the demonstration's own files from anybody else's.
func firstLine(data []byte) string {
	line, _, _ := bytes.Cut(data, []byte("\n"))
	return string(line)
}

// attendance is one visit of the demonstration, or of the gallery.
type attendance struct {
	kind                        programme.VisitKind
	controller, answers         string           // files of the demonstration
	controllerText, answersText string           // in their place
	begins                      words.AroundCode // what is said first
	at                          time.Time
	language                    string // in the place of the site's
}

var attendances = []attendance{
	{kind: programme.Handover, controller: "controller.yaml", answers: "answers.yaml", begins: words.DemoHandover},
	{kind: programme.Maintenance, controller: "controller-a-year-later.yaml", answers: "answers-a-year-later.yaml",
		begins: words.DemoMaintenance},
}

// longestAttendance is more simulated time than a visit of the demonstration takes: none ends after it is signed.
const longestAttendance = 2 * time.Hour

// demonstrate runs a hand-over as of a year ago, and today's maintenance, which remembers it.
func demonstrate(ctx context.Context, s streams, dir string) error {
	f := job.At(dir)
	today := time.Now().Add(-longestAttendance)
	begun := today.AddDate(-1, 0, 0)
	if err := layOut(f, fittedBefore(begun)); err != nil {
		return err
	}
	for i, at := range []time.Time{begun, today} {
		of := attendances[i]
		of.at, of.language = at, s.language().Tag()
		if err := s.demonstrates(ctx, f, of); err != nil {
			return err
		}
	}
	return nil
}

// fittedBefore lets the battery of the demonstration be some days old at a visit.
func fittedBefore(visit time.Time) func(string) string {
	return func(text string) string {
		return strings.Replace(text, "fitted: 2026-11-20", "fitted: "+visit.AddDate(0, 0, -6).Format(time.DateOnly), 1)
	}
}

// demonstrates runs a visit and seals its certificate.
func (s streams) demonstrates(ctx context.Context, f job.Folder, of attendance) error {
	begins, c, err := s.attends(ctx, f, of)
	if err != nil && !errors.Is(err, errUnsatisfactory) {
		return err
	}
	const years = 2 // from the visit to its signature, now
	id, err := identity.New(identity.Subject{Name: "Throw-away key of a demonstration"}, of.at, years)
	if err != nil {
		return err
	}
	key := certify.Key{Identity: id, ThrowAway: true}
	return writeCertificate(ctx, s, begins, certify.Options{Key: key, Tool: tool, Clock: c})
}

// attends runs a visit in simulated time, which the clock goes on from.
func (s streams) attends(ctx context.Context, f job.Folder, of attendance) (job.Visit, *clock.Simulated, error) {
	none := func(err error) (job.Visit, *clock.Simulated, error) { return job.Visit{}, nil, err }
	controller, err := textOf(of.controller, of.controllerText)
	if err != nil {
		return none(err)
	}
	if err := atomicfile.Replace(f.ControllerPath(), controller, 0o600); err != nil {
		return none(err)
	}
	st, err := f.Site()
	if err != nil {
		return none(err)
	}
	c := clock.NewSimulated(of.at)
	source, err := f.Source(st, c)
	if err != nil {
		return none(err)
	}
	text, err := textOf(of.answers, of.answersText)
	if err != nil {
		return none(err)
	}
	calibrated := bytes.ReplaceAll(text, []byte("2027-03-01"), []byte(of.at.AddDate(0, 4, 0).Format(time.DateOnly)))
	answers, err := scripted.Read("answers.yaml", calibrated)
	if err != nil {
		return none(err)
	}
	config := visit.Config{Operator: scripted.New(answers, c, s.printed(), s.language()), Source: source, Clock: c, Tool: tool}
	how := job.Beginning{Kind: of.kind, Practice: true, Language: of.language}
	begins, v, err := begin(f, st, how, config, func(opened record.Opened, left []job.LeftOut) {
		s.remembered(opened, st, left)
	})
	if err != nil {
		return none(err)
	}
	if of.begins != "" {
		s.say("%s", s.around(of.begins, st.Premises.Name, len(st.Zones), st.Detectors()))
	}
	return begins, c, s.attend(ctx, v, f, begins.Name, nil)
}

// textOf is a file of the demonstration, or the text in its place.
func textOf(name, text string) ([]byte, error) {
	if text != "" {
		return []byte(text), nil
	}
	return demoFiles.ReadFile("demo/" + name)
}
