package checks

import (
	"errors"
	"regexp"
)

// Level is a sound level (dB) with its weighting ("A", "C", "Z", "" for not stated), the
// distance it was taken at and the uncertainty of that (m, 0 for not stated), the level
// of the surroundings (dB, 0 for not stated), and the class of the meter (0 for not
// stated).
type Level struct {
	Level, Distance, Ambient float64
	DistanceUncertainty      float64
	Weighting                string
	MeterClass               int
}

var (
	levelForm     = regexp.MustCompile(`^(.+?) at (.+?)(?: (?:±|\+/-|\+-) ?(.+?))?(?: over (.+?))?(?: class ([12]))?$`)
	weightingForm = regexp.MustCompile(`^([-+.0-9eE]+ *dB) ?(?:([ACZ])|\(([ACZ])\))$`)
)

// ParseLevel reads a level as it is written: 96 dB at 3 m, or 96 dB(A) at 3 m ± 0.1 m
// over 55 dB class 2. Two levels of different weightings cannot be compared: refused.
func ParseLevel(text string) (Level, error) {
	m := levelForm.FindStringSubmatch(text)
	if m == nil {
		return Level{}, errors.New("write level and distance, for example 96 dB at 3 m")
	}
	level, weighting, err := weighted(m[1])
	if err != nil {
		return Level{}, err
	}
	read := Level{Level: level, Weighting: weighting, MeterClass: map[string]int{"1": 1, "2": 2}[m[5]]}
	if read.Distance, err = metres(m[2]); err != nil {
		return Level{}, err
	}
	if m[3] != "" {
		if read.DistanceUncertainty, err = metres(m[3]); err != nil {
			return Level{}, err
		}
	}
	if m[4] != "" {
		ambient, other, err := weighted(m[4])
		if err == nil && other != "" && weighting != "" && other != weighting {
			err = errors.New("both levels must have the same weighting")
		}
		if err != nil {
			return Level{}, err
		}
		read.Ambient = ambient
	}
	return read, nil
}

// weighted reads a level and the weighting that is written with it.
func weighted(text string) (level float64, weighting string, err error) {
	if m := weightingForm.FindStringSubmatch(text); m != nil {
		text, weighting = m[1], m[2]+m[3]
	}
	q, err := SoundLevel.Parse(text)
	return q.SI, weighting, err
}

func metres(text string) (float64, error) {
	q, err := Length.Parse(text)
	if err == nil && q.SI <= 0 {
		err = errors.New("a distance and its uncertainty must lie above zero")
	}
	return q.SI, err
}
