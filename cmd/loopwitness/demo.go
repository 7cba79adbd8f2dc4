package main

import (
	"bytes"
	"context"
	"embed"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/programme"
	"loopwitness/commission/visit"
	"loopwitness/report/certificate"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
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
func layOut(dir string, change func(string) string) (job, error) {
	j := job{dir}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return j, err
	}
	for _, name := range []string{"site.yaml", "controller.yaml"} {
		data, err := demoFiles.ReadFile("demo/" + name)
		if err != nil {
			return j, err
		}
		path := filepath.Join(dir, name)
		if there, err := os.ReadFile(path); err == nil && firstLine(there) != firstLine(data) {
			return j, fmt.Errorf("%s is not the demonstration's and is left alone; name another folder with --job", path)
		}
		if err := os.WriteFile(path, []byte(change(string(data))), 0o600); err != nil {
			return j, err
		}
	}
	return j, nil
}

// firstLine tells the demonstration's own files from anybody else's.
func firstLine(data []byte) string {
	line, _, _ := bytes.Cut(data, []byte("\n"))
	return string(line)
}

func demonstrate(ctx context.Context, s streams, dir string) error {
	j, err := layOut(dir, func(text string) string { return text })
	if err != nil {
		return err
	}
	st, err := j.site()
	if err != nil {
		return err
	}
	c := clock.NewSimulated(time.Now())
	source, err := j.source(st, c)
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
	name := j.newVisitName(programme.Handover, c.Now())
	opened, err := j.open(st, programme.Handover, name)
	if err != nil {
		return err
	}
	s.say("A hand-over visit of %s, simulated: %d zones, %d detectors. Simulated time passes at once.", st.Premises.Name, len(st.Zones), st.Detectors())
	v, err := visit.Start(simulated.Join(visit.Config{Operator: scripted.New(answers, c, s.out, english), Source: source, Clock: c, Tool: tool}), j.journal(name), opened)
	if err != nil {
		return err
	}
	if err := s.attend(ctx, v, j, name); err != nil && !errors.Is(err, errUnsatisfactory) {
		return err
	}
	id, err := identity.New(identity.Subject{Name: "Throw-away key of a demonstration"}, time.Now(), 1)
	if err != nil {
		return err
	}
	by := certificate.Seal{Kind: certificate.ThrowAway, Name: id.Name(), Fingerprint: id.Fingerprint()}
	return writeCertificate(ctx, s, j, name, id, by, seal.Stamper{})
}
