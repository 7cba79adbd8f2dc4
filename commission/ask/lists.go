package ask

import (
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// ListMatter asks for a list of a stage; Open of All its lines are open.
type ListMatter struct {
	Stage     programme.Stage
	All, Open int
}

// LooksMatter asks for what is looked at of the detectors of a kind, or of one of them: Open of
// All are. About a whole kind, the items are its detectors; LeftOut of those that are open were
// not operated, and stay out where all others are so.
type LooksMatter struct {
	Of        site.DetectorKind
	Detector  *programme.DetectorName // nil for all of the kind
	All, Open int
	LeftOut   int
}

// LookLine is a line of what is looked at of every detector of a kind, above them.
type LookLine struct{ Name programme.Name }

// LooksHere reminds at a detector of what is looked at there: what is open of it.
type LooksHere struct{ Lines []programme.Name }

// WithValue is a line of a list beside which something is to be typed, and what stands there
// unless another value is typed.
type WithValue struct {
	Line  programme.Name
	Value string
}

// ValueMatter asks for what is typed beside a line of a list, of every detector of a kind
// where Of says one.
type ValueMatter struct {
	Line programme.Name
	Of   site.DetectorKind
}

// TimeOfDay is a time, written 14:05.
type TimeOfDay struct{}

func (TimeOfDay) accept(text string) (string, error) {
	if len(text) == len("9:05") {
		text = "0" + text
	}
	return text, because(NoTime, text, programme.TimeValue.Check(text))
}

// Code names what it is about.
func (LooksMatter) Code() string { return "matter/looks" }
func (LookLine) Code() string    { return "matter/look-line" }
func (LooksHere) Code() string   { return "advice/looks-here" }
func (WithValue) Code() string   { return "matter/with-value" }
func (ValueMatter) Code() string { return "matter/value" }

// Code names what it is about.
func (ListMatter) Code() string { return "matter/list" }

// PutRightList asks which of what earlier visits left outstanding was put right; Open of All
// its lines are open.
type PutRightList struct{ All, Open int }

// Code names what it is about.
func (PutRightList) Code() string { return "matter/put-right-list" }

// Points are the detectors of a board, one of which is taken by its point.
type Points struct{ Board Board }

func (t Points) accept(text string) (string, error) {
	var some site.Point
	for _, z := range t.Board.Zones {
		for _, d := range z.Detectors {
			if string(d.Point) == text {
				return text, nil
			}
			some = d.Point
		}
	}
	return "", Refused{Why: NotOnBoard, Text: text, Takes: []string{string(some)}}
}
