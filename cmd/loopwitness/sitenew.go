package main

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/site"
)

func newSiteNew(s streams) *cobra.Command {
	var dir, answers string
	cmd := &cobra.Command{
		Use:   "new",
		Short: "Ask what is fitted and write a commented site.yaml",
		Long: "Ask what is fitted at the premises and write a commented site.yaml, to be completed in an editor. Of each\n" +
			"zone it asks name, kind and detectors; what it takes for the rest is shown in the end, and can be changed\n" +
			"before it is written. If you break off, what you have answered is kept in site-draft.yaml, and it can go on\n" +
			"from there. Answer back to go back to the question before.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error {
			operator, err := s.operator(answers, clock.Real{})
			if err != nil {
				return err
			}
			return writeNewSite(ctx, s, job.At(dir), operator)
		}),
	}
	jobFlag(cmd, &dir)
	answersFlag(cmd, &answers)
	return cmd
}

func writeNewSite(ctx context.Context, s streams, f job.Folder, operator ask.Operator) error {
	path := f.SitePath()
	if _, err := os.Stat(path); err == nil {
		return fmt.Errorf("%s exists already; edit it, or name another folder with --job", path)
	}
	if err := atomicfile.MakeFolder(f.Dir(), 0o700); err != nil {
		return err
	}
	q := &interview{ctx: ctx, operator: operator, prefix: "new"}
	if err := q.fromDraft(f); err != nil {
		return err
	}
	s.say("Answer %s to go back to the question before.", wayBack)
	q.toTheEnd(q.newSite)
	if q.err != nil {
		s.say("") // a question may stand there
		return q.keepDraft(f)
	}
	data := site.Format(q.site)
	if err := atomicfile.Create(path, data, 0o600); err != nil {
		return err
	}
	if _, err := site.Read(path, data); err != nil {
		return fmt.Errorf("%s was written, but needs a correction:\n%w", path, err)
	}
	_ = os.Remove(f.DraftPath()) // one that stays is only asked about
	s.say("\n%s written. Complete it in an editor, then: %s", path, command(f, "site check"))
	return nil
}

// helped is a question of a command, which speaks English only.
func helped(id, text, help string, takes ask.Takes) ask.Question {
	q := ask.Question{ID: id, What: ask.Verbatim(text), Takes: takes}
	if help != "" {
		q.Help = ask.Verbatim(help)
	}
	return q
}

func (q *interview) text(id, text, help string) string {
	return q.ask(helped(id, text, help, ask.Line{}))
}

func (q *interview) optional(id, text, help string) string {
	return q.maybe(id, text, help, ask.Line{})
}

// maybe asks for what may be left out.
func (q *interview) maybe(id, text, help string, takes ask.Takes) string {
	question := helped(id, text, help, takes)
	question.Optional = true
	return q.ask(question)
}

func (q *interview) yes(id, text string) bool {
	return q.ask(helped(id, text, "", ask.YesNo{})) == ask.Yes
}

func (q *interview) quantity(id, text string, in checks.Dimension, optional bool) checks.Quantity {
	question := helped(id, text, "", ask.Quantity{In: in})
	question.Optional = optional
	answer := q.ask(question)
	if answer == "" {
		return checks.Quantity{}
	}
	quantity, err := in.Parse(answer)
	q.err = errors.Join(q.err, err)
	return quantity
}

func (q *interview) choice(id, text string, words ...string) string {
	var options []ask.Option
	for _, w := range words {
		options = append(options, ask.Option{Word: w, Label: ask.Verbatim(w)})
	}
	options = append(options, ask.Option{Word: wayBack, Label: ask.Verbatim("back to the question before")})
	return q.ask(helped(id, text, "", ask.OneOf{Options: options}))
}

// newSite asks for all of a site.
func (q *interview) newSite() {
	q.whoAndWhere()
	q.site.CablesReused = site.Saying(q.choice("new/reused", "Are the cables those of an older system? "+
		"They are then measured before anything is connected", string(site.SaidYes), string(site.SaidNo)))
	q.zones()
	q.beside()
	q.review(nil, false)
}

func (q *interview) whoAndWhere() {
	s := q.site
	s.Reference = q.text("new/reference", "Reference of the job", "a number of your own, printed on every page")
	s.Premises.Name = q.text("new/premises", "Name of the premises", "")
	s.Premises.Address = q.text("new/address", "Address", "")
	s.Customer.Name = q.optional("new/customer", "Customer", "")
	s.Installer.Company = q.text("new/company", "Installing company", "")
	s.Installer.Licence = q.optional("new/licence", "Its licence or registration", "")
	s.Declared.Standard = q.optional("new/standard", "Standard that the installer declares",
		"printed as declared, never judged")
	if s.Declared.Standard != "" {
		s.Declared.Grade = q.optional("new/grade", "Declared grade", "")
	}
	s.Monitoring.Centre = q.optional("new/centre", "Receiving centre, if there is one", "")
	s.Controller.Description = q.text("new/controller", "The controller, in words",
		"for example: sixteen-zone network controller")
	s.Controller.Location = q.optional("new/controller-location", "Where it is", "")
	s.Controller.Current = q.quantity("new/controller-current", "Current it draws, if known", checks.Current, true)
}

// beside asks for what is fitted beside the zones.
func (q *interview) beside() {
	q.powers(nil)
	for q.err == nil && q.yes("new/another-output", "A sounder, strobe or chime to add?") {
		q.output()
	}
	q.supply()
}

func (q *interview) output() {
	o := site.Output{Name: q.text("new/output/name", "Its name", "")}
	o.Kind = site.OutputKind(
		q.choice("new/output/kind", "What is it?", string(site.Sounder), string(site.Strobe), string(site.Chime)))
	o.Address = q.optional("new/output/address",
		"Address under which the controller energises it, unless only by hand", "")
	o.Current = q.quantity("new/output/current", "Current it draws", checks.Current, true)
	if o.Kind == site.Chime {
		o.Follows = q.follows()
	} else {
		o.CutOff = q.quantity("new/output/cut-off", "Time after which it stops by itself", checks.Time, true)
	}
	if o.Name != "" {
		q.site.Outputs = append(q.site.Outputs, o)
	}
}

func (q *interview) follows() []int {
	numbers := map[string]int{}
	for _, z := range q.site.Zones {
		numbers[strconv.Itoa(z.Number)] = z.Number
	}
	answer := q.maybe("new/output/follows", "Zones that it follows, separated by commas", "",
		ask.Names{Of: slices.Sorted(maps.Keys(numbers)), Several: true})
	var zones []int
	for _, name := range ask.SplitNames(answer) {
		zones = append(zones, numbers[name])
	}
	return zones
}

func (q *interview) supply() {
	s := &q.site.Supply
	s.Adapter.Rating = q.quantity("new/adapter", "Rating of the adapter", checks.Current, true)
	s.Battery.Chemistry = q.choice("new/battery", "Standby battery", site.Chemistries...)
	if q.err != nil || s.Battery.Chemistry == "none" {
		return
	}
	s.Battery.Capacity = q.quantity("new/capacity", "Its capacity", checks.Capacity, true)
	s.Battery.Cells = q.cells(s.Battery.Chemistry)
	s.Battery.Fitted = q.maybe("new/fitted", "When it was fitted", "", ask.Date{})
	s.Charger.Voltage = q.quantity("new/charger-voltage", "Voltage that it is charged with", checks.Voltage, true)
	s.Charger.Current = q.quantity("new/charger-current", "The most that the charger gives", checks.Current, true)
	s.Temperature = q.quantity("new/temperature", "Lowest temperature that it is expected to have",
		checks.Temperature, true)
	s.LoadsGiven = !q.yes("new/other-loads", "Does the supply feed anything else: keypads, expanders, a router?")
	s.Standby.For = q.quantity("new/standby", "Standby time that is required", checks.Time, true)
	if s.Standby.For.Given() {
		s.Standby.AlarmFor = q.quantity("new/alarm", "Alarm time at its end", checks.Time, true)
		s.Standby.Source = q.optional("new/standby-source", "The rule that requires it", "")
	}
}

// cells asks how many stand in series, where that can differ.
func (q *interview) cells(chemistry string) int {
	usual := strconv.Itoa(checks.Chemistry(chemistry).UsualCells())
	answer := q.optional("new/cells", "Its cells in series, if you know them", usual+" as a rule in a battery of 12 V")
	n, _ := strconv.Atoi(answer) // what is no number is left to the file, which says so
	return max(0, n)
}
