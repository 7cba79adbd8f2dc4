package dryrun

import (
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// touchForgeries are wrong about what a phone tells: touches, operations in the technician's
// own order, and what was drawn on its glass.
var touchForgeries = []Forgery{
	{"a touch at another instant than its cue", record.LawTouch, func(f *Forged) {
		touch(f, func(c *record.Cue) { c.Tap.DeviceNS += (time.Second).Nanoseconds() })
	}},
	{"a touch that is known better than its clock", record.LawTouch, func(f *Forged) {
		touch(f, func(c *record.Cue) { c.UncertaintyNS = 1 })
	}},
	{"a touch by a clock that is never known so badly", record.LawTouchBounds, func(f *Forged) {
		touch(f, func(c *record.Cue) { c.Tap.LatestNS += (time.Second).Nanoseconds() })
	}},
	{"a touch whose bounds are swapped", record.LawTouchBounds, func(f *Forged) {
		touch(f, func(c *record.Cue) { c.Tap.EarliestNS, c.Tap.LatestNS = 1, 0 })
	}},
	{"what nobody was told to operate, timed without a touch", record.LawOwnOrder, func(f *Forged) {
		Edit(f, f.cues()[0], func(c *record.Cue) { c.Own = true })
	}},
	{"one report for two detectors", record.LawOnce, func(f *Forged) { own(f, "walk/3.2") }},
	{"a device that describes itself in two lines", record.LawTypedLines, func(f *Forged) {
		f.Insert(f.cues()[0], 0, record.Held{By: record.OnPhone, Device: "phone\nLimitations: none"})
	}},
	{"a signature that goes off its sheet", record.LawDrawing, drawn(func(s *record.Strokes) { s.Lines[0][0] = 301 })},
	{"a signature of a dot", record.LawDrawing, drawn(func(s *record.Strokes) { s.Lines[0] = s.Lines[0][:2] })},
	{"a signature that is drawn for who is not there", record.LawSignature, func(f *Forged) {
		Edit(f, f.last("signed", "role", "customer"), func(s *record.Signed) {
			s.Name, s.Licence, s.Accepted, s.Position, s.Strokes = "", "", nil, "was out", scrawl()
		})
	}},
}

// touch lets the first cue be given by a touch that is known to 20 ms, and changes it.
func touch(f *Forged, change func(*record.Cue)) {
	const half = 20 * time.Millisecond
	at := f.cues()[0]
	Edit(f, at, func(c *record.Cue) {
		c.Tap = &record.Tap{DeviceNS: f.Entries[at].Elapsed.Nanoseconds(), EarliestNS: -half.Nanoseconds(),
			LatestNS: half.Nanoseconds(), By: record.ByTouch}
		c.UncertaintyNS = half.Nanoseconds()
		change(c)
	})
}

// own says of a detector, behind all trials of the walk-test, that the first report of its zone
// was its own.
func own(f *Forged, step string) {
	first := f.Where("cue", "step", "walk/3.1")[0]
	report := f.Entries[first+1]
	at := f.last("reading", "step", programme.IDMainsPresent)
	now := f.Entries[at-1].Elapsed
	before := (now - report.Elapsed + 1).Nanoseconds()
	f.Insert(at, 0, record.Cue{Step: step, Half: record.Operate, Own: true, NotTimed: record.NoTouch, BeforeNS: before})
	f.Insert(at+1, 0, record.Ended{Step: step, By: record.ByTime})
}

// scrawl is a signature as somebody may draw it on a sheet of 300 by 120.
func scrawl() *record.Strokes {
	return &record.Strokes{Width: 300, Height: 120,
		Lines: [][]int16{{10, 90, 30, 20, 50, 95, 70, 30, 90, 80, 120, 60, 150, 85, 280, 40}}}
}

// drawn lets the customer draw on glass, and changes that.
func drawn(change func(*record.Strokes)) func(*Forged) {
	return func(f *Forged) {
		Edit(f, f.last("signed", "role", "customer"), func(s *record.Signed) {
			s.Drawing, s.Strokes = nil, scrawl()
			change(s.Strokes)
		})
	}
}
