package ask

import (
	"errors"
	"regexp"

	"loopwitness/checks"
)

// Level is a sound level (dB), the distance it was taken at (m), the level of the
// surroundings (dB, 0 for not stated), and the class of the meter (0 for not stated).
type Level struct {
	Level, Distance, Ambient float64
	MeterClass               int
}

var levelForm = regexp.MustCompile(`^(.+?) at (.+?)(?: over (.+?))?(?: class ([12]))?$`)

// ParseLevel reads a level as it is written: 96 dB at 3 m, or 96 dB at 3 m over 55 dB
// class 2.
func ParseLevel(text string) (Level, error) {
	m := levelForm.FindStringSubmatch(text)
	if m == nil {
		return Level{}, errors.New("write level and distance, for example 96 dB at 3 m")
	}
	level, err := checks.SoundLevel.Parse(m[1])
	if err != nil {
		return Level{}, err
	}
	distance, err := checks.Length.Parse(m[2])
	if err == nil && distance.SI <= 0 {
		err = errors.New("the distance must lie above zero")
	}
	if err != nil {
		return Level{}, err
	}
	read := Level{Level: level.SI, Distance: distance.SI, MeterClass: map[string]int{"1": 1, "2": 2}[m[4]]}
	if m[3] != "" {
		ambient, err := checks.SoundLevel.Parse(m[3])
		if err != nil {
			return Level{}, err
		}
		read.Ambient = ambient.SI
	}
	return read, nil
}
