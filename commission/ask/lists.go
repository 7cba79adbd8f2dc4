package ask

import (
	"fmt"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// ListMatter asks for a list of a stage; Open of All its lines are open.
type ListMatter struct {
	Stage     programme.Stage
	All, Open int
}

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
	return "", fmt.Errorf("the board has no %q; take a number of it, such as %s", text, some)
}
