package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/learn"
	"loopwitness/commission/listen"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

func newSiteLearn(s streams) *cobra.Command {
	var o visitOptions
	cmd := &cobra.Command{
		Use:   "learn",
		Short: "Learn a site: walk in, open each thing once, name what reports",
		Long: "Listen to the controller of controller.yaml while you walk through the building and open each thing once.\n" +
			"The address that reports is shown at once; you give name, kind and place. An address that reports again is\n" +
			"another detector of its zone, or the same again, as you say. In the end the change of site.yaml is shown (all\n" +
			"of it, if there is none) before it is written; comments and order of yours stay. If you break off, what you\n" +
			"have said is kept in learn-draft.yaml, and it can go on from there. With --phone all of it is done on a phone,\n" +
			"with photographs, which the next visit that is begun takes in. With listen: simulated, the building of\n" +
			"site.yaml is walked through for you, that of the demonstration if there is none.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error {
			if err := o.phone.check(o.answers); err != nil {
				return err
			}
			c, err := o.clock(time.Now())
			if err != nil {
				return err
			}
			operator, err := s.operator(o.answers, c)
			if err != nil {
				return err
			}
			l := &learning{streams: s, ctx: ctx, folder: job.At(o.job), operator: operator, clock: c, options: o}
			return l.run()
		}),
	}
	jobFlag(cmd, &o.job)
	answersFlag(cmd, &o.answers)
	simulatedTimeFlag(cmd, &o.simulatedTime)
	phoneFlags(cmd, &o.phone)
	return cmd
}

// learning is one run of the command.
type learning struct {
	streams
	ctx      context.Context
	folder   job.Folder
	operator ask.Operator
	clock    clock.Clock
	options  visitOptions
	on       *phoneVisit // nil for none
	// unsettled is why it is not written what the photographs show, nil for it is.
	unsettled error

	site  *site.Site // of the file; nil where there is none
	walk  learn.Walk
	draft learnDraft
}

func (l *learning) run() error {
	var err error
	if l.site, err = l.folder.Site(); err != nil && !errors.Is(err, job.ErrNoSite) {
		return advised(l.folder, err)
	}
	config, err := l.config()
	if err != nil {
		return err
	}
	if err := atomicfile.MakeFolder(l.folder.Dir(), 0o700); err != nil {
		return err
	}
	if err := l.listen(config); err != nil {
		return err
	}
	defer func() { _ = l.walk.Source.Close() }()
	l.say("Answer %s to go back to the question before.", wayBack)
	l.on, err = l.onPhone(l.ctx, l.folder, l.options.phone, l.operator, paged{learning: true,
		simulated: isSimulated(l.walk.Source)})
	if err != nil {
		return err
	}
	if l.on != nil {
		l.operator = l.on.desk
		l.on.desk.Serve(ask.OutOfTurn{Photograph: l.walk.Photograph})
	}
	err = l.talk()
	l.on.Close(err != nil) // what is said now stays on the terminal
	if err != nil {
		return l.kept(err)
	}
	_ = os.Remove(l.folder.LearnDraftPath()) // one that stays is only asked about
	if l.unsettled != nil {
		l.wrapped(fmt.Sprintf("Which detectors the photographs show could not be written: %v", l.unsettled))
	}
	l.say("\n%s written. Complete it in an editor, then: %s", l.folder.SitePath(), command(l.folder, "site check"))
	return nil
}

// talk goes through the site, from where a draft left it.
func (l *learning) talk() (err error) {
	if l.draft, err = readLearnDraft(l.ctx, l.folder, l.operator); err != nil {
		return err
	}
	l.walk.Operator, l.walk.Learner = l.operator, learn.New(l.site, l.draft.said)
	defer l.walk.KeepShowing()()
	return l.throughTheSite()
}

// config is how the controller is listened to. Its addresses are none of a site yet.
func (l *learning) config() (listen.Config, error) {
	config, err := l.folder.Config(nil)
	switch {
	case err != nil:
		return config, err
	case config.Way == "keyboard":
		return config, fmt.Errorf("nothing can be learnt where signals come by the keyboard; write in %s how the controller "+
			"is listened to, or describe the site with: %s", l.folder.ControllerPath(), command(l.folder, "site new"))
	case config.Way == "simulated" || !l.options.simulatedTime:
		return config, nil
	}
	return config, fmt.Errorf("time can be simulated only where the controller is; write listen: simulated in %s, or "+
		"leave --simulated-time out", l.folder.ControllerPath())
}

// listen begins to listen.
func (l *learning) listen(config listen.Config) error {
	source, err := l.source(config)
	if err != nil {
		return err
	}
	l.walk.Source, l.walk.Clock, l.walk.Photographs = source, l.clock, learntPhotographs{l.folder}
	l.walk.Keep = func(said []learn.Said) error { l.draft.said = said; return l.draft.keep(l.folder) }
	err = l.walk.Listen(l.ctx)
	config.Way = notStarted(config.Way, err)
	if err != nil && config.Way == "mqtt" {
		return connectFailed(config.MQTT, err)
	}
	if err != nil && (config.Way == "webhook" || config.Way == "poll") {
		return webFailed(err)
	}
	return err
}

// source is the controller's; of a simulated one, the building is that of the site, or of
// the demonstration.
func (l *learning) source(config listen.Config) (signal.Source, error) {
	if config.Way != "simulated" {
		return config.Source(l.site, l.clock)
	}
	building, err := simulatedBuilding(l.site)
	if err != nil {
		return nil, err
	}
	return l.folder.Source(building, l.clock)
}

// simulatedBuilding is that of a site, or of the demonstration, where there is none.
func simulatedBuilding(st *site.Site) (*site.Site, error) {
	if st != nil {
		return st, nil
	}
	data, err := demoFiles.ReadFile("demo/site.yaml")
	if err != nil {
		return nil, err
	}
	return site.Read("site.yaml", data)
}

// throughTheSite walks and asks, until it is written or broken off.
func (l *learning) throughTheSite() error {
	for {
		if err := l.walk.Run(l.ctx); err != nil {
			return err
		}
		if zones, detectors := l.walk.Learner.Learnt(); zones+detectors == 0 {
			return errNothingLearnt
		}
		data, walkOn, err := l.complete()
		if err != nil {
			return err
		}
		if walkOn {
			continue
		}
		return l.write(data)
	}
}

var (
	errNothingLearnt = errors.New("nothing was learnt, and nothing is written")
	errNotWanted     = errors.New("nothing is written")
)

// complete asks what a walk does not tell, and makes the file.
func (l *learning) complete() (data []byte, walkOn bool, err error) {
	q := &interview{ctx: l.ctx, operator: l.operator, prefix: "learn", given: l.draft.given, before: true}
	further := map[int][]site.Detector{}
	q.toTheEnd(func() {
		further = l.walk.Learner.Further()
		walkOn = q.learnt(l.site, l.walk.Learner.Zones(), further)
	})
	if walkOn {
		q.given = q.given[:len(q.given)-1] // that more is to be opened
	}
	l.draft.given = q.given
	switch {
	case errors.Is(q.err, errBack):
		return nil, true, nil // from the first question to the walk
	case q.err != nil:
		return nil, false, q.err
	case walkOn:
		return nil, true, nil
	case l.site == nil:
		data = site.Format(q.site)
	default:
		if data, err = l.site.Extend(q.site.Zones, further); err != nil {
			return nil, false, fmt.Errorf("%s: %w: write the zones, and the detectors of each, one below the other or in "+
				"brackets, and go on", l.folder.SitePath(), err)
		}
	}
	_, err = site.Read(l.folder.SitePath(), data)
	return data, false, err
}

// learnt asks what a walk does not tell, of a site that has a file or of one that has none.
func (q *interview) learnt(has *site.Site, zones []site.Zone, further map[int][]site.Detector) (walkOn bool) {
	var before *site.Zone
	if has != nil {
		q.taken = *has
		before = &has.Zones[len(has.Zones)-1]
	} else {
		q.whoAndWhere()
	}
	if len(zones) > 0 {
		usual := q.wiring(before)
		for i := range zones {
			z := &zones[i]
			z.Wiring, z.EndOfLine, z.ContactResistor, z.FaultResistor = usual.Wiring, usual.EndOfLine, usual.ContactResistor,
				usual.FaultResistor
		}
	}
	q.site.Zones = zones
	if has != nil {
		q.powers(further)
	} else {
		q.beside()
	}
	return q.review(furtherLines(has, further), true)
}

// furtherLines are the detectors that zones of a file are to have beside those they have.
func furtherLines(has *site.Site, further map[int][]site.Detector) []ask.Phrase {
	var lines []ask.Phrase
	for i := 0; has != nil && i < len(has.Zones); i++ {
		z := &has.Zones[i]
		if of := further[z.Number]; len(of) > 0 {
			lines = append(lines, ask.Verbatim(fmt.Sprintf("%d %s, further detectors: %s", z.Number, typedName(z.Name),
				detectorNames(of, z.Kind))))
		}
	}
	return lines
}

// write shows the change of the file, asks, and writes it.
func (l *learning) write(data []byte) error {
	path := l.folder.SitePath()
	what, lines := "This is the new "+path+". Write it?", strings.Split(strings.TrimSuffix(string(data), "\n"), "\n")
	if l.site != nil {
		what = "This is what changes in " + path + ". Write it?"
		lines = changing(string(l.site.Raw), string(data))
	}
	question := helped("learn/write", what, "", ask.YesNo{})
	for _, line := range lines {
		question.About = append(question.About, ask.Verbatim(unbrokenIndent(line)))
	}
	answer, err := l.operator.Ask(l.ctx, question)
	switch {
	case err != nil:
		return err
	case answer.Text != ask.Yes:
		return errNotWanted
	}
	if err := l.place(path, data); err != nil {
		return err
	}
	written, err := site.Read(path, data)
	if err == nil {
		err = learntPhotographs{l.folder}.settle(l.walk.Learner.Said(), l.site, written)
	}
	l.unsettled = err // the site is learnt all the same
	return nil
}

// place writes the file, unless somebody else has changed it since it was read.
func (l *learning) place(path string, data []byte) error {
	if l.site == nil {
		return atomicfile.Create(path, data, 0o600)
	}
	now, err := strictyaml.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist), err == nil && !bytes.Equal(now, l.site.Raw):
		return fmt.Errorf("%s was changed meanwhile; nothing is written", path)
	case err != nil:
		return err
	}
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	return atomicfile.Replace(path, data, info.Mode().Perm())
}

// unbrokenIndent keeps the blanks of a line of YAML where lines are wrapped.
func unbrokenIndent(line string) string {
	text := strings.TrimLeft(line, "+- ")
	indent := line[:len(line)-len(text)]
	return strings.ReplaceAll(indent, " ", "\u00a0") + text
}

// kept keeps the draft after something went wrong, and says how to go on.
func (l *learning) kept(why error) error {
	if l.draft.empty() {
		return why
	}
	if err := l.draft.keep(l.folder); err != nil {
		return errors.Join(why, err)
	}
	l.say("") // a question may stand there
	return brokenOff(why, l.folder.LearnDraftPath(), command(l.folder, "site learn"))
}
