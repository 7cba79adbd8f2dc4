package ask

import (
	"regexp"
	"strings"

	"loopwitness/checks"
)

var (
	bareNumber  = regexp.MustCompile(`^[-+]?[.0-9]+$`)
	bareAmbient = regexp.MustCompile(`( over [-+]?[.0-9]+)( class [12])?$`)
)

// completedLevel adds the unit to bare levels: a level can only be in dB. A distance may
// be in metres or in feet.
func completedLevel(text string) string {
	const at = " at "
	if level, rest, is := strings.Cut(text, at); is && bareNumber.MatchString(level) {
		text = level + " " + checks.SoundLevel.SI + at + rest
	}
	return bareAmbient.ReplaceAllString(text, "$1 "+checks.SoundLevel.SI+"$2")
}
