package record

import (
	"errors"
	"slices"
)

// Strokes are a signature as it was drawn on glass: lines of points of a sheet of Width by
// Height, x and y in turn.
type Strokes struct {
	Width  int       `json:"width"`
	Height int       `json:"height"`
	Lines  [][]int16 `json:"lines"`
}

const (
	// mostStrokePoints bounds a signature; a finger draws a hundred points a second.
	mostStrokePoints = 20000
	mostStrokeSide   = 4096
	// leastStrokePoints is less than any signature has.
	leastStrokePoints = 8
)

// Check refuses what is no drawing: too little, too much, or off its sheet.
func (s Strokes) Check() error {
	if s.Width < 1 || s.Height < 1 || s.Width > mostStrokeSide || s.Height > mostStrokeSide {
		return errors.New("the drawing has no size")
	}
	points := 0
	for _, line := range s.Lines {
		if len(line) < 2 || len(line)%2 != 0 {
			return errors.New("a line of the drawing has no points")
		}
		if points += len(line) / 2; points > mostStrokePoints {
			return errors.New("the drawing has too many points; draw it again, more simply")
		}
		for i := 0; i < len(line); i += 2 {
			if line[i] < 0 || int(line[i]) > s.Width || line[i+1] < 0 || int(line[i+1]) > s.Height {
				return errors.New("the drawing goes over its edge")
			}
		}
	}
	if points < leastStrokePoints {
		return errors.New("that is too little for a signature; draw it again")
	}
	return nil
}

func (s *Strokes) clone() *Strokes {
	if s == nil {
		return nil
	}
	out := Strokes{Width: s.Width, Height: s.Height}
	for _, line := range s.Lines {
		out.Lines = append(out.Lines, slices.Clone(line))
	}
	return &out
}
