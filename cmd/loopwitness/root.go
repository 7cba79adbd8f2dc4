package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/lines"
	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/ask/terminal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/words"
)

// streams are where a command reads and writes.
type streams struct {
	in  *os.File
	out *os.File
	err io.Writer
	// speaks is what is said in a visit, and on papers, where it is not English.
	speaks words.Language
	// quiet says that nothing is said, nor told in a visit.
	quiet bool
	// lost is why something could not be printed, nil while all could.
	lost *error
}

// speaking are the streams of a visit in a language.
func (s streams) speaking(l words.Language) streams {
	s.speaks = l
	return s
}

// language is that of the visit, English where there is none.
func (s streams) language() words.Language {
	if s.speaks == nil {
		return english
	}
	return s.speaks
}

// around is what is said around a visit, in its language.
func (s streams) around(what words.AroundCode, of ...any) string {
	return s.language().Say(words.Around{What: what, Of: of})
}

// named is a name that somebody typed, as typedName has it, in the language of the visit.
func (s streams) named(text string) string {
	return s.language().Say(words.Named(strings.Join(strings.Fields(text), " ")))
}

const exitStatus = `
Exit status: 0 done and satisfactory; 1 done and not satisfactory; 2 could not run, or not finished.`

func newRoot(s streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "loopwitness",
		Short: "Walk-test a hard-wired intruder alarm and certify what was proved",
		Long: "Loopwitness guides the walk-test of a hard-wired intruder alarm, times every response, records the\n" +
			"supply with and without mains, and writes a certificate of what was proved.\n" + exitStatus,
		Version:       version,
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.SetIn(s.in)
	root.SetOut(s.out)
	root.SetErr(s.err)
	root.PersistentPreRun = func(cmd *cobra.Command, _ []string) {
		whileRead(cmd, s.out)
		endInTime(cmd, s)
	}
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(newSite(s), newListen(s), newLimits(s), newVisit(s), newCertify(s), newVerify(s), newRecord(s),
		newKey(s), newDue(s), newDemo(s), newRehearse(s), newBench(s), newCalc(s), newCompare(s))
	return root
}

// operator chooses how the technician is talked with: a file of answers, a
// terminal, or plain lines.
func (s streams) operator(answers string, c clock.Clock) (ask.Operator, error) {
	switch {
	case answers != "":
		data, err := strictyaml.ReadFile(answers)
		if err != nil {
			return nil, err
		}
		a, err := scripted.Read(answers, data)
		if err != nil {
			return nil, err
		}
		return scripted.New(a, c, s.out, s.language()), nil
	case terminal.Possible(s.in, s.out):
		return terminal.New(s.in, s.out, s.language()), nil
	}
	return lines.New(s.in, s.out, s.flush(), s.language()), nil
}

// flush drops what was typed ahead, where a person types.
func (s streams) flush() func() {
	if !terminal.IsTerminal(s.in) {
		return nil
	}
	return func() { terminal.Flush(s.in) }
}

// printed is where what is said goes.
func (s streams) printed() io.Writer {
	if s.quiet {
		return io.Discard
	}
	return s.out
}

func (s streams) say(format string, args ...any) {
	if _, err := fmt.Fprintf(s.printed(), format+"\n", args...); err != nil && *s.lost == nil {
		*s.lost = err
	}
}

// jobFlag adds the flag that names the job folder.
func jobFlag(cmd *cobra.Command, dir *string) {
	cmd.Flags().StringVar(dir, "job", ".", "job's folder: site.yaml, controller.yaml, visits, certificates")
}

func answersFlag(cmd *cobra.Command, file *string) {
	cmd.Flags().StringVar(file, "answers", "", "file of answers, for an unattended run")
}

// withContext runs work with the command's context.
func withContext(work func(ctx context.Context, args []string) error) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error { return work(cmd.Context(), args) }
}
