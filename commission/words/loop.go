package words

import (
	"math"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/judge"
)

// LoopCells are what an ohmmeter should read on a zone, in Ω: at rest, with one contact
// active or the fault contact, shorted, cut; and the states that a reading cannot tell apart.
func LoopCells(l Language, loop judge.Loop) []string {
	var pairs []string
	for _, p := range loop.Alike {
		pairs = append(pairs, l.Say(Alike(p)))
	}
	active := window(l, loop.Active)
	if loop.Fault != nil {
		active += "; " + l.Say(FaultReads{window(l, loop.Fault)})
	}
	return []string{window(l, loop.Normal), active, window(l, loop.Shorted), window(l, loop.Cut),
		orDash(strings.Join(pairs, ", "))}
}

// Alike are two states of a loop that a reading cannot tell apart.
type Alike [2]checks.LoopState

// Code names it.
func (Alike) Code() string { return "loop/alike" }

// OpenLoop is what an ohmmeter shows of a loop without end.
type OpenLoop struct{}

// Code names it.
func (OpenLoop) Code() string { return "loop/open" }

func window(l Language, w *checks.Window) string {
	switch {
	case w == nil:
		return "–"
	case math.IsInf(w.Nominal, 1):
		return l.Say(OpenLoop{})
	case w.Low == w.Up:
		return l.Number(w.Nominal, AsNeeded)
	}
	return l.Number(w.Low, 0) + "–" + l.Number(w.Up, 0)
}

// FaultReads is what an ohmmeter should read with the fault contact active.
type FaultReads struct{ Ohm string }

// Code names it.
func (FaultReads) Code() string { return "loop/fault" }
