package phone

import (
	"cmp"
	"slices"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// talkFor is what stands, as a phone is told it. The lock is held.
func (s *Server) talkFor(of *session) Talk {
	t := Talk{Role: of.as(), Holds: s.holder == of && !s.away, Sounding: s.sounding, Simulated: s.Simulated}
	switch {
	case t.Holds:
		t.Holder = s.say.Say(ask.HolderThis{})
	case s.away:
		t.Holder = s.say.Say(ask.HolderIs{})
	case s.holder == nil:
		t.Holder = s.say.Say(ask.HolderWanted{})
	default:
		t.Holder = s.say.Say(ask.HolderIs{Device: s.holder.device})
	}
	if s.now == nil || of.role != Technician {
		return t
	}
	t.Serial = s.now.serial
	if of.limited() {
		if t.Sounding = nil; s.forCustomer(s.now) {
			t.Question, _ = s.question(handedOver(*s.now.asked))
		}
		return t
	}
	t.Question, t.Watch = s.now.question, s.now.watch
	return t
}

// forCustomer tells whether it is a question that the customer answers.
func (s *Server) forCustomer(t *talk) bool {
	return t != nil && t.asked != nil && ofCustomer(*t.asked)
}

func ofCustomer(q ask.Question) bool {
	return q.Step == programme.IDCustomer || q.ID == programme.IDCustomer ||
		strings.HasPrefix(q.ID, programme.IDCustomer+"/")
}

// handedOver is a question as the customer may answer it: to accept, or to refuse and say why.
func handedOver(q ask.Question) ask.Question {
	q.Redo, q.WayBack = nil, ""
	if of, is := q.Takes.(ask.OneOf); is {
		q.Takes = ask.OneOf{Options: slices.DeleteFunc(slices.Clone(of.Options), func(o ask.Option) bool {
			return o.Label != ask.AcceptChoice && o.Label != ask.RefuseChoice
		})}
	}
	return q
}

// shown is what a simulated instrument shows, "" for none: as the language writes it, and takes it.
func (s *Server) shown(q ask.Question) string {
	if _, quantity := q.Takes.(ask.Quantity); q.Shown == "" || !quantity {
		return q.Shown
	}
	return s.say.Say(words.Measured(q.Shown))
}

// question says a question; about is what it is about, as it is shown.
func (s *Server) question(q ask.Question) (said *Question, about []string) {
	for _, p := range q.About {
		about = append(about, s.say.Say(p))
	}
	said = &Question{ID: q.ID, What: s.say.Say(q.What), Help: s.orNone(q.Help), About: about, Takes: s.takes(q.Takes),
		Optional: q.Optional, Back: q.Back, WayBack: q.WayBack, Redo: s.orNone(q.Redo), Shown: s.shown(q),
		Subject: cmp.Or(string(q.Shows), subject(q.Step))}
	if yesNo, is := q.Takes.(ask.YesNo); is {
		said.Danger = yesNo.Danger
	}
	said.Takes.Customer = ofCustomer(q)
	if slices.ContainsFunc(said.Takes.Options, func(o Option) bool { return o.Word == q.WayBack }) {
		said.WayBack = "" // it stands among the options
	}
	return said, about
}

func (s *Server) orNone(p ask.Phrase) string {
	if p == nil {
		return ""
	}
	return s.say.Say(p)
}

func (s *Server) options(all []ask.Option) (said []Option) {
	for _, o := range all {
		said = append(said, Option{Word: o.Word, Label: s.say.Say(o.Label)})
	}
	return said
}

// takes says what a question accepts.
func (s *Server) takes(t ask.Takes) Takes {
	instead := func(kind string, word ask.Instead) Takes {
		said := Takes{Kind: kind, Instead: string(word)}
		switch word {
		case ask.NotMeasured:
			said.Means = s.say.Say(typed.NotMeasuredHint)
		case ask.OpenLoop:
			said.Means = s.say.Say(typed.OpenLoopHint)
		}
		return said
	}
	switch t := t.(type) {
	case ask.Quantity:
		said := instead("quantity", t.Instead)
		if said.Unit = t.Unit; t.Unit == "" {
			said.Example = t.In.Examples
		}
		return said
	case ask.Line:
		said := instead("line", t.Instead)
		said.Options = s.options(t.Offers)
		return said
	case ask.Whole:
		return Takes{Kind: "line"}
	case ask.SoundLevel:
		return Takes{Kind: "level"}
	case ask.Conductor:
		return Takes{Kind: "conductor"}
	case ask.CableSeen, ask.CableValues:
		return instead("line", ask.NotMeasured)
	case ask.Date:
		return Takes{Kind: "date", From: t.From, To: t.To}
	case ask.Names:
		return Takes{Kind: "names", Names: t.Of, Several: t.Several}
	case ask.YesNo:
		return Takes{Kind: "yes-no"}
	case ask.OneOf:
		return Takes{Kind: "one-of", Options: s.options(t.Options)}
	case ask.Points:
		said := Takes{Kind: "one-of"}
		for _, z := range t.Board.Zones {
			for _, d := range z.Detectors {
				said.Options = append(said.Options, Option{Word: string(d.Point),
					Label: s.say.Say(programme.DetectorName{Point: d.Point, Name: d.Name, Zone: z.Name})})
			}
		}
		return said
	case ask.Signature:
		return Takes{Kind: "signature"}
	case ask.Items:
		said := Takes{Kind: "items", Brief: t.Brief}
		for _, i := range t.Of {
			item := Item{Word: i.Word, Label: s.say.Say(i.Label), Result: string(i.Result), Remark: i.Remark}
			if i.Result != "" {
				item.Says = s.say.Say(ask.ItemStands{Result: i.Result})
			}
			if i.Result == record.Done && i.Remark != "" { // a value, and nothing bad
				item.Says, item.Remark = item.Says+": "+i.Remark, ""
			}
			said.Items = append(said.Items, item)
		}
		return said
	}
	return Takes{Kind: "line"}
}

// watch says a wait.
func (s *Server) watch(w ask.Watch) *Watch {
	said := &Watch{ID: w.ID, Kind: kindOf(w), Title: s.say.Say(w.Title), Urgent: w.Urgent, Subject: subject(w.Step),
		Half: string(w.Cue)}
	if p, is := pointOf(w.Step); is && said.Kind != "" {
		said.Point = p
	}
	said.Counts = said.Kind == watchReady && strings.HasPrefix(w.Step, "walk/")
	for _, l := range w.Lines {
		said.Lines = append(said.Lines, s.say.Say(l))
	}
	for _, k := range w.Keys {
		said.Keys = append(said.Keys, Key{Key: string(k), Label: s.say.Say(k)})
	}
	if said.Kind != "" || w.Urgent {
		said.Speaks = said.Title
	}
	return said
}

// The kinds of watches.
const (
	watchReady   = "ready"
	watchOperate = "operate"
	watchRestore = "restore"
	watchRoam    = "roam"
)

func kindOf(w ask.Watch) string {
	switch {
	case slices.Contains(w.Keys, ask.RoomDone), slices.Contains(w.Keys, ask.Touch):
		return watchRoam
	case w.Waits && w.Cue != "":
		return watchReady
	case w.Cue == record.Operate:
		return watchOperate
	case w.Cue == record.Restore:
		return watchRestore
	}
	return ""
}

var weights = map[ask.Weight]string{
	ask.Aside: "aside", ask.Plain: "plain", ask.Heading: "heading", ask.Caution: "caution", ask.Alarm: "alarm",
}

// tones are how notices sound that tell what was proved, by their codes.
var tones = map[string]string{
	ask.Proved{}.Code(): toneGood, "notice/ticked": toneGood, ask.TrialShown{}.Code(): toneBad,
}

// The tones.
const (
	toneGood = "good"
	toneBad  = "bad"
)

// notice says a notice, and how it sounds.
func (s *Server) notice(n ask.Notice) Notice {
	said := Notice{Weight: weights[n.Weight()], Text: s.say.Say(n), Tone: tones[n.Code()]}
	if said.Tone != "" || n.Weight() >= ask.Caution {
		said.Speaks = said.Text
	}
	switch n := n.(type) {
	case ask.Proved:
		said.Large = s.say.Say(words.Quantity{Value: n.Reported.Seconds(), Decimals: 2, In: words.Second})
		said.Point, said.Speaks = string(n.Point), s.say.Say(ask.Spoken{Point: n.Point, Verdict: record.Proved})
	case ask.Ticked:
		said.Point = string(n.Point)
	case ask.AddressReports: // who opened it does not look at the phone
		said.Speaks = said.Text
	case ask.TrialShown:
		said.Point = string(n.Point)
		said.Speaks = s.say.Say(ask.Spoken{Point: n.Point, Verdict: n.Shown.Judgement.Verdict})
	case ask.ReportsActive:
		said.Point, said.Means = pointNamed(n.Step), meansActive
	case ask.Struck:
		said.Point, said.Means = pointNamed(n.Step), meansStruck
	case ask.ToOperateAgain:
		said.Point, said.Means = pointNamed(n.Step), meansStruck
	}
	return said
}

// What notices mean for what is shown of a detector.
const (
	meansActive = "active"
	meansStruck = "struck"
)

// pointNamed is the detector of a step by its name, "" if it is none's.
func pointNamed(n programme.Name) string {
	if n.Detector == nil {
		return ""
	}
	return string(n.Detector.Point)
}

// pointOf is the detector of a step, if it is one's.
func pointOf(step string) (string, bool) {
	for _, prefix := range []string{"walk/", "supply/proof-"} {
		if p, is := strings.CutPrefix(step, prefix); is {
			return p, true
		}
	}
	return "", false
}

// subject is what a photograph shows that is taken at a step.
func subject(step string) string {
	stage, rest, _ := strings.Cut(step, "/")
	if p, is := pointOf(step); is {
		return "detector/" + p
	}
	switch {
	case step == "":
		return ""
	case stage == string(programme.StageOutputs):
		if at := strings.LastIndex(rest, "/zone-"); at > 0 {
			rest = rest[:at]
		}
		return "output/" + rest
	case stage == string(programme.StageSupply):
		return string(record.AboutSupply)
	}
	return string(record.AboutSite)
}
