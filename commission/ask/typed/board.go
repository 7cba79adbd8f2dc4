package typed

import (
	"slices"
	"strconv"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// WholeBoard is the word that shows a board with all that is proved.
const WholeBoard = string(ask.ShowAll)

// Look is how a board or a list is laid out.
type Look struct {
	Columns int  // of the window
	Rows    int  // for which there is room, 0 for any number
	Whole   bool // also what is proved, whether or not there is room for it
	Colour  bool
}

type (
	// BoardHead is what stands above a board: of the stage, Open of All steps are open; or
	// how far the learning of a site is.
	BoardHead struct {
		Site      string
		Stage     programme.Stage
		All, Open int
		Learnt    *ask.LearningStatus
	}
	// Tally is how many detectors stand so.
	Tally struct {
		N        int
		Standing ask.Standing
	}
	// AllSettled are zones in which nothing is open and nothing failed.
	AllSettled struct{ Zones, Detectors int }
	// MoreLines is how many lines of a board there was no room for.
	MoreLines struct{ N int }
)

// Code names the phrase.
func (BoardHead) Code() string  { return "board/head" }
func (Tally) Code() string      { return "board/tally" }
func (AllSettled) Code() string { return "board/settled" }
func (MoreLines) Code() string  { return "board/more" }

// Standings are all, as they are counted.
var Standings = []ask.Standing{
	ask.ProvedStanding, ask.ReportedStanding, ask.LeftOutStanding, ask.FailedStanding, ask.OpenStanding,
	ask.LearntStanding, ask.KnownStanding,
}

// signs stand beside the words of a standing.
var signs = map[ask.Standing]string{
	ask.OpenStanding: "○", ask.ProvedStanding: "✓", ask.ReportedStanding: "◐", ask.FailedStanding: "✗",
	ask.LeftOutStanding: "–", ask.LearntStanding: "+", ask.KnownStanding: "·",
}

// Of a terminal: the numbers of its colours (ECMA-48, SGR).
const (
	red    = "31"
	green  = "32"
	yellow = "33"
	cyan   = "36"
	faint  = "2"
)

var colours = map[ask.Standing]string{
	ask.OpenStanding: yellow, ask.ProvedStanding: green, ask.ReportedStanding: cyan, ask.FailedStanding: red,
	ask.LeftOutStanding: faint,
}

var coloursNow = map[signal.State]string{
	signal.Active: yellow, signal.Tamper: red, signal.Trouble: red, signal.NotUnderstood: red,
}

// painted is a text that is coloured, if anything is.
type painted struct{ text, colour string }

func (p painted) in(l Look) string {
	if !l.Colour || p.colour == "" {
		return p.text
	}
	return "\x1b[" + p.colour + "m" + p.text + "\x1b[0m"
}

// Board is a board as lines, none wider than the window. Where there is no room for the
// whole of it, what is proved is only counted; there may be more lines than there is room
// for, all the same.
func Board(say Sayer, b ask.Board, l Look) []string {
	board := boarding{say: say, Look: l, current: string(b.Current)}
	head := board.head(b)
	lines := board.zones(b.Zones, true)
	if !l.Whole && l.Rows > 0 && len(head)+len(lines) > l.Rows {
		lines = board.zones(b.Zones, false)
	}
	return append(head, lines...)
}

type boarding struct {
	Look
	say     Sayer
	current string
}

// head is what stands above the zones: how far the stage is, and how many stand how.
func (b boarding) head(of ask.Board) []string {
	lines := screen.Wrap(screen.Clean(b.say.Say(BoardHead{of.Site, of.Stage, of.All, of.Open, of.Learnt})), b.Columns)
	for _, ear := range of.Deaf {
		for _, l := range screen.Wrap(screen.Clean(b.say.Say(ask.EarLost{Ear: ear})), b.Columns) {
			lines = append(lines, painted{l, red}.in(b.Look))
		}
	}
	if !of.Connected && len(of.Deaf) == 0 {
		for _, l := range screen.Wrap(screen.Clean(b.say.Say(NotConnected)), b.Columns) {
			lines = append(lines, painted{l, red}.in(b.Look))
		}
	}
	return append(lines, b.packed(b.tallies(of.Zones), "", "")...)
}

// tallies count the detectors of zones by how they stand.
func (b boarding) tallies(zones []ask.BoardZone) []painted {
	n := map[ask.Standing]int{}
	for _, z := range zones {
		for _, d := range z.Detectors {
			n[d.Standing]++
		}
	}
	var all []painted
	for _, s := range Standings {
		if n[s] > 0 {
			all = append(all, painted{signs[s] + " " + b.say.Say(Tally{n[s], s}), colours[s]})
		}
	}
	return all
}

// settled tells whether nothing of a zone needs to be looked at.
func settled(z ask.BoardZone) bool {
	return (z.Now == signal.Restored || z.Now == signal.Unknown) && z.Garbled == "" &&
		!slices.ContainsFunc(z.Detectors, func(d ask.BoardDetector) bool { return toDo(d.Standing) })
}

func toDo(s ask.Standing) bool { return s == ask.OpenStanding || s == ask.FailedStanding }

// zones are their lines; where not the whole is shown, what is settled is counted.
func (b boarding) zones(zones []ask.BoardZone, whole bool) []string {
	var shown []ask.BoardZone
	var counted AllSettled
	for _, z := range zones {
		if !whole && settled(z) {
			counted.Zones++
			counted.Detectors += len(z.Detectors)
			continue
		}
		shown = append(shown, z)
	}
	lines := b.rows(shown, whole)
	if counted.Zones > 0 {
		for _, l := range screen.Wrap(b.say.Say(counted), b.Columns) {
			lines = append(lines, painted{l, green}.in(b.Look))
		}
	}
	return lines
}

// narrowest is the room that detectors need beside their zone.
const narrowest = 30

// rows lay zones out in columns: its name, what it reports, its detectors. In a narrow
// window the detectors stand below.
func (b boarding) rows(zones []ask.BoardZone, whole bool) []string {
	names, nows := 0, 0
	for _, z := range zones {
		names = max(names, screen.Width(nameOf(z)))
		nows = max(nows, screen.Width(b.now(z).text))
	}
	names = min(names, b.Columns/4)
	var lines []string
	for _, z := range zones {
		now, name := b.now(z), nameOf(z)
		if before := names + nows + 4; b.Columns-before >= narrowest {
			first := screen.Pad(screen.Cut(name, names), names) + "  " + now.in(b.Look) +
				strings.Repeat(" ", nows-screen.Width(now.text)+2)
			lines = append(lines, b.packed(b.detectors(z, whole, b.Columns-before), first, strings.Repeat(" ", before))...)
			continue
		}
		room := b.Columns - screen.Width(now.text) - 2
		lines = append(lines, screen.Cut(name, room)+"  "+now.in(b.Look))
		lines = append(lines, b.packed(b.detectors(z, whole, b.Columns-len(indent)), indent, indent)...)
	}
	return lines
}

func nameOf(z ask.BoardZone) string {
	return strings.TrimSpace(strconv.Itoa(z.Name.Number) + " " + screen.Clean(z.Name.Name))
}

// now is what a zone reports; a report that no rule understands is no state.
func (b boarding) now(z ask.BoardZone) painted {
	state := z.Now
	if z.Garbled != "" {
		state = signal.NotUnderstood
	}
	return painted{screen.Clean(b.say.Say(ask.ReportsNow{State: state})), coloursNow[state]}
}

// detectors are those of a zone, none wider than the room; where not the whole is shown,
// the settled ones are counted.
func (b boarding) detectors(z ask.BoardZone, whole bool, room int) []painted {
	var all []painted
	var rest []ask.BoardDetector
	for _, d := range z.Detectors {
		if !whole && !toDo(d.Standing) {
			rest = append(rest, d)
			continue
		}
		how := b.say.Say(ask.StandsSo{Standing: d.Standing, Verdict: d.Verdict,
			Current: b.current != "" && string(d.Point) == b.current})
		text := signs[d.Standing] + " " + string(d.Point)
		if len(z.Detectors) > 1 || d.Name != z.Name.Name {
			text += " " + screen.Clean(d.Name)
		}
		// What it is called gives way before how it stands.
		text = screen.Cut(text, max(8, room-screen.Width(how)-1))
		all = append(all, painted{text + " " + how, colours[d.Standing]})
	}
	return append(all, b.tallies([]ask.BoardZone{{Detectors: rest}})...)
}

// packed fills lines with pieces; the first begins with a text of the width of what the
// others are indented by.
func (b boarding) packed(pieces []painted, first, others string) []string {
	const between = " · "
	room := b.Columns - screen.Width(others)
	var lines []string
	line, used := first, 0
	for _, p := range pieces {
		p.text = screen.Cut(p.text, room)
		width := screen.Width(p.text)
		switch {
		case used == 0:
		case used+screen.Width(between)+width > room:
			lines = append(lines, line)
			line, used = others, 0
		default:
			line += between
			used += screen.Width(between)
		}
		line += p.in(b.Look)
		used += width
	}
	if line == "" {
		return lines
	}
	return append(lines, strings.TrimRight(line, " "))
}

// pointHints are an example of a point, and how the whole board is shown.
func pointHints(b ask.Board) []ask.Phrase {
	for _, z := range slices.Backward(b.Zones) {
		for _, d := range slices.Backward(z.Detectors) {
			return []ask.Phrase{Example(d.Point), AllHint}
		}
	}
	return nil
}
