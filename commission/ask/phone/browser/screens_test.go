package browser_test

import (
	"flag"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// long is a name of 200 characters without a place to break it.
var long = strings.Repeat("Töpferscheibenraum", 11) + "ab"

// hostile is a board whose names are markup, right-to-left, and long.
func hostile() ask.Board {
	b := studio()
	b.Site = `<img src=x onerror="wrong.push('markup')">` + "\u202eمرسم الفخار"
	b.Zones[0].Name.Name = `<script>wrong.push('script')</script>`
	b.Zones[0].Detectors[0].Name = "باب الساحة الخلفية"
	b.Zones[1].Name.Name = long
	b.Zones[1].Detectors[0].Name = long
	b.Zones[1].Detectors[0].Location = long
	b.Zones[2].Detectors[0].Name = "חלון הגג הצפוני"
	b.Zones[2].Detectors[0].Location = `"'><b>bold</b>&amp;`
	return b
}

var items = []ask.Item{
	{
		Word:   "1",
		Step:   "inspection/a",
		Label:  ask.Verbatim("The receiving centre has put the system on test"),
		Result: record.Done,
	},
	{
		Word:   "2",
		Step:   "inspection/b",
		Label:  ask.Verbatim("People in the building know that alarms will sound"),
		Result: record.Done,
	},
	{Word: "3", Step: "inspection/c", Label: ask.Verbatim("Both ends of every cable are labelled"), Result: record.Defect,
		Remark: "zone 6 at the loft: no label"},
	{Word: "4", Step: "inspection/d", Label: ask.Verbatim("Polarity was measured at every detector that is powered")},
	{Word: "5", Step: "inspection/e", Label: ask.Verbatim("Covers are closed, detectors are firm")},
	{Word: "6", Step: "inspection/f", Label: ask.Verbatim("Ladders and footing are safe"), Result: record.NotApplicable},
	{Word: "7", Step: "inspection/g", Label: ask.Verbatim("The log book is on site")},
}

var proved = ask.Proved{Point: "2.1", Reported: 710 * time.Millisecond, Restored: 900 * time.Millisecond}

var silent = ask.TrialShown{Point: "2.2", Shown: judge.Shown{Half: record.Operate,
	Judgement: record.Judgement{Verdict: record.Silent, Waited: 15 * time.Second}}}

// screen is what a phone can show; then is what is done on it before it is looked at.
type screen struct {
	name string
	set  func(*visit)
	then func(*visit, *browser.Phone)
}

var screens = []screen{
	{"ready", func(v *visit) { v.waits(ready("3.1")) }, nil},
	{"ready-proved", func(v *visit) { v.waits(ready("3.1")) }, func(v *visit, p *browser.Phone) {
		v.Tell(proved)
		p.Wait(`document.querySelector('#result.good')`)
	}},
	{"ready-silent", func(v *visit) { v.waits(ready("3.1")) }, func(v *visit, p *browser.Phone) {
		v.Tell(silent)
		p.Wait(`document.querySelector('#result.bad')`)
	}},
	{"count", func(v *visit) { v.waits(ready("3.1")) }, func(_ *visit, p *browser.Phone) {
		p.Tap("[data-word=count]")
		p.Wait(`document.querySelector('#wait')`)
	}},
	{"counting", func(v *visit) { v.waits(ready("3.1")) }, func(_ *visit, p *browser.Phone) {
		p.Tap("[data-word=count]")
		p.Tap(".counts")
		p.Tap("#wait") // it stands still to be looked at
		p.WaitText("#count", "WAITS")
	}},
	{"operate", func(v *visit) {
		_, status, _ := v.waits(operated("3.1"))
		status(ask.TrialStatus{Since: 1400 * time.Millisecond, ListenFor: 15 * time.Second, Limit: 2 * time.Second})
	}, nil},
	{"operate-keyboard", func(v *visit) { v.waits(operated("3.1", ask.Indicated)) }, nil},
	{"restore", func(v *visit) { v.waits(restoring("3.1", ask.AtRest)) }, nil},
	{"roam", func(v *visit) { v.waits(roaming) }, func(v *visit, p *browser.Phone) {
		v.Tell(proved, silent)
		p.Wait(`document.querySelectorAll('#reports li').length === 2`)
	}},
	{"other-wait", func(v *visit) {
		v.waits(
			ask.Watch{ID: "restart", Title: ask.PowerBackMatter, Keys: []ask.Key{ask.Ready, ask.Skip, ask.Note}, Urgent: true},
		)
	}, nil},
	{"away", func(v *visit) { v.waits(ready("3.1")) }, func(v *visit, p *browser.Phone) {
		p.Wait(`document.querySelector('#now:not(:disabled)')`)
		v.link.Cut()
		p.WaitText("#head", "no network")
		canTap(p)
		p.Tap("#now")
		p.WaitText(".then", "3.1")
	}},
	{"choice", func(v *visit) {
		v.asks(
			ask.Question{ID: "walk/3.1/after", What: ask.NotProved{Step: named("3.1")}, Step: "walk/3.1", Redo: ask.NoteMatter,
				Takes: ask.OneOf{
					Options: []ask.Option{{Word: "again", Label: ask.AgainChoice}, {Word: "note", Label: ask.NoteChoice},
						{Word: "as-it-is", Label: ask.AsItIsChoice}, {Word: "leave", Label: ask.LeaveChoice}},
				}},
		)
	}, nil},
	{"yes-no", func(v *visit) {
		v.asks(
			ask.Question{ID: "outputs/Sounder/seen", What: ask.Observed{Output: "Sounder"}, Takes: ask.YesNo{}, Shown: "yes"},
		)
	}, nil},
	{"danger", func(v *visit) {
		v.asks(
			ask.Question{
				ID:    "outputs/Sounder/on",
				What:  ask.Protected{Outputs: []string{"Sounder"}},
				Takes: ask.YesNo{Danger: true},
			},
		)
	}, func(v *visit, p *browser.Phone) {
		v.Tell(ask.LoudCaution{})
		p.Wait(`document.querySelector('.card.caution')`)
	}},
	{"sounding", func(v *visit) {
		v.Sounding([]string{"Sounder in the yard"})
		v.asks(
			ask.Question{ID: "outputs/Sounder/heard", What: ask.Observed{Output: "Sounder in the yard"}, Takes: ask.YesNo{}},
		)
	}, nil},
	{"line", func(v *visit) {
		v.asks(ask.Question{ID: "note", What: ask.NoteMatter, Help: ask.PrintedAdvice, Takes: ask.Line{}, Optional: true,
			Step: "walk/3.1"})
	}, nil},
	{"quantity", func(v *visit) {
		v.asks(ask.Question{ID: "volts", What: ask.LoopMatter, WayBack: "back", Shown: "12.7 V",
			Takes: ask.Quantity{In: checks.Voltage, Instead: ask.NotMeasured, Unit: "V"}})
	}, nil},
	{"level", func(v *visit) {
		v.asks(
			ask.Question{ID: "level", What: ask.LevelMatter, Help: ask.LevelAdvice, Takes: ask.SoundLevel{}, Optional: true},
		)
	}, nil},
	{"conductor", func(v *visit) {
		v.asks(ask.Question{ID: "conductor", What: ask.Verbatim("Conductor of the cable to zone 3"), Takes: ask.Conductor{}})
	}, nil},
	{"date", func(v *visit) {
		v.asks(ask.Question{ID: "date", What: ask.CalibrationMatter, Takes: ask.Date{From: "2026-01-01"}, Optional: true})
	}, nil},
	{"names", func(v *visit) {
		v.asks(ask.Question{ID: "names", What: ask.DetectorMatter, Takes: ask.Names{Several: true,
			Of: []string{"1.1", "2.1", "2.2", "3.1", "3.2", "3.3", "4.1", "5.1", "6.1"}}})
	}, func(_ *visit, p *browser.Phone) { p.Tap(`[data-word="3.2"]`) }},
	{"items", func(v *visit) {
		v.asks(ask.Question{ID: "items", What: ask.Verbatim("Inspection as fitted"), Takes: ask.Items{Of: items}})
	}, nil},
	{"items-brief", func(v *visit) {
		all := ask.Items{Brief: true}
		for i := range 300 {
			point := site.PointOf(i/20+1, i%20)
			all.Of = append(all.Of, ask.Item{Word: string(point), Step: "walk/" + string(point),
				Label: programme.DetectorName{Point: point, Name: "Motion detector", Zone: programme.ZoneName{Number: i/20 + 1,
					Name: "Store"}}})
		}
		all.Of[3].Result = record.Defect
		v.asks(ask.Question{ID: "items-brief", What: ask.LooksMatter{Of: "motion", All: 300, Open: 299}, Takes: all,
			About: []ask.Phrase{ask.Verbatim("It was walked at its edges"), ask.Verbatim("Opening its cover is reported")}})
	}, nil},
	{"signature", func(v *visit) {
		v.asks(
			ask.Question{
				ID:       programme.IDCustomer + "/drawing",
				What:     ask.SignatureOf{Name: "Ignace", Role: "customer"},
				Takes:    ask.Signature{},
				Optional: true,
				About: []ask.Phrase{
					ask.Verbatim("L1 Window of the display, right: silent"),
					ask.Verbatim("L2 Cellar: not tested, locked"),
				},
			},
		)
	}, func(_ *visit, p *browser.Phone) { p.Draw("#signature", scrawl...) }},
	{"handed", func(v *visit) {
		v.asks(ask.Question{ID: programme.IDCustomer, What: ask.AcceptanceMatter, Help: ask.AcceptAdvice,
			About: []ask.Phrase{ask.Verbatim("L1 Window of the display, right: silent")},
			Takes: ask.OneOf{
				Options: []ask.Option{{Word: "accept", Label: ask.AcceptChoice}, {Word: "refuses", Label: ask.RefuseChoice}},
			}})
	}, func(_ *visit, p *browser.Phone) {
		p.Tap("#hand")
		p.Fill("#code", "2468")
		p.Tap("#hand-now")
		p.Wait(`document.querySelector('#hand-back')`)
	}},
	{"board", func(v *visit) { v.waits(ready("3.1")) }, func(_ *visit, p *browser.Phone) { p.Tap("#tab-board") }},
	{"told", func(v *visit) { v.waits(ready("3.1")) }, func(v *visit, p *browser.Phone) {
		v.Tell(ask.StageBegins{Stage: programme.StageWalkTest}, proved, silent, ask.LoudCaution{}, ask.NoCue{})
		p.Tap("#tab-told")
		p.Wait(`document.querySelectorAll('#told li').length > 4`)
	}},
	{"more", func(v *visit) { v.waits(ready("3.1")) }, func(_ *visit, p *browser.Phone) { p.Tap("#tab-more") }},
	{"photo", func(v *visit) { v.waits(ready("3.1")) }, func(_ *visit, p *browser.Phone) { p.Tap("#photo") }},
	{"alarm", func(v *visit) { v.waits(ready("3.1")) }, func(v *visit, p *browser.Phone) {
		b := studio()
		b.Connected = false
		v.Board(b)
		v.Tell(ask.NotConnected{})
		p.Wait(`document.querySelector('.card.alarm')`)
	}},
	{"elsewhere", func(v *visit) { v.waits(ready("3.1")) }, func(v *visit, p *browser.Phone) {
		p.Wait(`document.querySelector('#now')`)
		v.TakeBack()
		p.Wait(`document.querySelector('#hold')`)
	}},
	{"hold", func(v *visit) { v.waits(ready("3.1")) }, func(v *visit, p *browser.Phone) {
		p.Wait(`document.querySelector('#now')`)
		v.TakeBack()
		p.Tap("#hold")
		p.Wait(`document.querySelector('#sure')`)
	}},
	{"hostile", func(v *visit) { v.Board(hostile()); v.waits(ready("2.1")) }, nil},
	{"hostile-board", func(v *visit) { v.Board(hostile()); v.waits(ready("2.1")) },
		func(_ *visit, p *browser.Phone) { p.Tap("#tab-board") }},
	{"hostile-choice", func(v *visit) {
		v.Board(hostile())
		v.asks(ask.Question{ID: "hostile", What: ask.Verbatim(long), Help: ask.Verbatim("<b>" + long), About: []ask.Phrase{
			ask.Verbatim(long)}, Takes: ask.OneOf{Options: []ask.Option{{Word: "a", Label: ask.Verbatim("<i>" + long)},
			{Word: "b", Label: ask.Verbatim("باب الساحة الخلفية")}}}})
	}, nil},
	{"nothing", func(*visit) {}, func(_ *visit, p *browser.Phone) { p.WaitText("#scene h1", "One moment") }},
	{"gone", func(v *visit) { v.waits(ready("3.1")) }, func(v *visit, p *browser.Phone) {
		p.Wait(`document.querySelector('#now')`)
		v.Close(ask.PhonePageOver{Paused: true})
		p.WaitText("#scene h1", "paused")
	}},
}

var scrawl = []browser.Point{
	{X: 0.1, Y: 0.6},
	{X: 0.15, Y: 0.3},
	{X: 0.2, Y: 0.2},
	{X: 0.25, Y: 0.5},
	{X: 0.27, Y: 0.8},
	{X: 0.35, Y: 0.4},
	{
		X: 0.42,
		Y: 0.3,
	},
	{X: 0.45, Y: 0.6},
	{X: 0.52, Y: 0.55},
	{X: 0.58, Y: 0.35},
	{X: 0.62, Y: 0.6},
	{X: 0.7, Y: 0.5},
	{X: 0.8, Y: 0.45},
}

var renew = flag.Bool("renew", false, "write the kept pictures of screens anew")

// kept are the screens of which pictures are kept, that a person has looked at, by day, by
// night, and on the smallest phone.
var kept = []string{
	"ready",
	"ready-proved",
	"ready-silent",
	"counting",
	"operate-keyboard",
	"restore",
	"roam",
	"away",
	"choice",
	"quantity",
	"items",
	"danger",
	"signature",
	"board",
	"more",
}

var keptLooks = []string{"", "-dark", "-320"}

const (
	keptFolder = "../../../../testdata/pictures/phone"
	// mostKept is how much all of them may weigh, in bytes.
	mostKept = 1_500_000
)

// Each screen of the list has its pictures, and there is none of a screen that is not.
func TestKeptPictures(t *testing.T) {
	t.Parallel()
	var wanted, there []string
	for _, name := range kept {
		assert.True(t, slices.ContainsFunc(screens, func(s screen) bool { return s.name == name }), name)
		for _, look := range keptLooks {
			wanted = append(wanted, name+look+".png")
		}
	}
	files, err := os.ReadDir(keptFolder)
	require.NoError(t, err)
	var all int64
	for _, f := range files {
		there = append(there, f.Name())
		info, err := f.Info()
		require.NoError(t, err)
		all += info.Size()
	}
	assert.ElementsMatch(t, wanted, there)
	assert.Less(t, all, int64(mostKept))
}

// Whatever a phone shows can be read and touched: on a small screen, with large letters, by
// day and by night, by who sees no colour, and by who sees nothing.
func TestScreens(t *testing.T) {
	for _, s := range screens {
		t.Run(s.name, func(t *testing.T) {
			t.Parallel()
			v := begin(t)
			s.set(v)
			p := browser.New(t)
			p.RecordErrors()
			p.Go(v.technician())
			p.WaitText("#head", "hand-over")
			if s.then != nil {
				s.then(v, p)
			}
			time.Sleep(150 * time.Millisecond) // what was touched is drawn
			for _, look := range []struct {
				name          string
				width, height int64
				dark          bool
				letters       string
			}{
				{"", browser.Width, browser.Height, false, ""},
				{"-dark", browser.Width, browser.Height, true, ""},
				{"-320", browser.Narrow, 568, false, ""},
				{"-320-200", browser.Narrow, 568, true, "200%"},
			} {
				p.Size(look.width, look.height)
				p.Dark(look.dark)
				browser.Eval[string](p, `document.documentElement.style.fontSize = `+browser.JSON(look.letters))
				assert.Empty(t, p.Sideways(), look.name)
				assert.Empty(t, p.Small(), look.name)
				p.Picture(s.name + look.name)
				if *renew && slices.Contains(kept, s.name) && slices.Contains(keptLooks, look.name) {
					p.PictureIn(keptFolder, s.name+look.name)
				}
			}
			p.Size(browser.Width, browser.Height)
			browser.Eval[string](p, `document.documentElement.style.fontSize = ''`)
			p.Dark(false)
			assert.Empty(t, p.Axe())
			p.Dark(true)
			assert.Empty(t, p.Axe("color-contrast"), "dark") // all that is other than by day
			assert.Empty(t, p.Errors())
		})
	}
}
