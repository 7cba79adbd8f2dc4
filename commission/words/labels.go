package words

import (
	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// What stands on labels of cables and terminals.
type (
	// LabelHead is the number of a zone with where the label goes.
	LabelHead struct {
		Zone  int
		Place LabelPlace
	}
	// LabelCores are the cores of a cable, nil where nobody has seen them: a line to be written.
	LabelCores struct{ Seen *checks.CableSeen }
	// LabelTerminal is where a cable ends at the controller.
	LabelTerminal struct{ Address string }
	// LabelEnd is what stands at the end of a circuit.
	LabelEnd struct {
		Wiring site.Wiring
		Hint   programme.Hint
	}
	// LabelSheet is the foot of a sheet, its cells in mm.
	LabelSheet struct {
		Reference     string
		Width, Height float64
		Page, Pages   int
	}
)

// LabelPlace is where a label goes.
type LabelPlace string

// The places.
const (
	AtController LabelPlace = "controller" // round the cable
	AtFarEnd     LabelPlace = "far-end"    // round the cable
	AtTerminal   LabelPlace = "terminal"
)

// Code names it.
func (p LabelPlace) Code() string  { return "label-place/" + string(p) }
func (LabelHead) Code() string     { return "label/head" }
func (LabelCores) Code() string    { return "label/cores" }
func (LabelTerminal) Code() string { return "label/terminal" }
func (LabelEnd) Code() string      { return "label/end" }
func (LabelSheet) Code() string    { return "label/sheet" }
