package main

import (
	"bytes"
	"context"
	"embed"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/visit"
	"loopwitness/report/certify"
	"loopwitness/report/identity"
)

//go:embed demo/*.yaml
var demoFiles embed.FS

func newDemo(s streams) *cobra.Command {
	var dir string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Run a whole visit on the simulated controller and write its certificate",
		Long: "Run a whole hand-over visit of an invented pottery studio on the simulated controller, unattended and in\n" +
			"simulated time, with one fault that is found, mended and retested, and write the certificate.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error { return demonstrate(ctx, s, dir) }),
	}
	cmd.Flags().StringVar(&dir, "job", "loopwitness-demo", "folder to write the demonstration's job to")
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

func demonstrate(ctx context.Context, s streams, dir string) error {
	f := job.At(dir)
	if err := layOut(f, func(text string) string { return text }); err != nil {
		return err
	}
	st, err := f.Site()
	if err != nil {
		return err
	}
	c := clock.NewSimulated(time.Now())
	source, err := f.Source(st, c)
	if err != nil {
		return err
	}
	data, err := demoFiles.ReadFile("demo/answers.yaml")
	if err != nil {
		return err
	}
	answers, err := scripted.Read("answers.yaml", data)
	if err != nil {
		return err
	}
	config := visit.Config{Operator: scripted.New(answers, c, s.out, english), Source: source, Clock: c, Tool: tool}
	of, v, err := begin(f, st, job.Beginning{Kind: programme.Handover}, config, func(record.Opened, []job.LeftOut) {})
	if err != nil {
		return err
	}
	s.say("A hand-over visit of %s, simulated: %d zones, %d detectors. Simulated time passes at once.",
		st.Premises.Name, len(st.Zones), st.Detectors())
	if err := s.attend(ctx, v, f, of.Name, nil); err != nil && !errors.Is(err, errUnsatisfactory) {
		return err
	}
	id, err := identity.New(identity.Subject{Name: "Throw-away key of a demonstration"}, time.Now(), 1)
	if err != nil {
		return err
	}
	key := certify.Key{Identity: id, ThrowAway: true}
	return writeCertificate(ctx, s, of, certify.Options{Key: key, Tool: tool, Clock: clock.Real{}})
}
