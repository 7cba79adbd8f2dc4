package german

import (
	"strings"

	"loopwitness/commission/words"
)

// ofRead says values as they were read, and codes of the site file.
func (l Language) ofRead(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.AsRead:
		return l.asRead(string(p)), true
	case words.ChemistryOf:
		return germanChemistry(string(p)), true
	}
	return "", false
}

// levelWords are the words of a sound level as it is kept: 96 dB at 3 m over 55 dB class 2.
var levelWords = strings.NewReplacer(" at ", " in ", " over ", " über ", " class ", " Klasse ")

// asRead is a quantity, or a sound level with all that was typed beside it.
func (l Language) asRead(text string) string { return levelWords.Replace(l.quantity(text)) }

// colours are those of cores, in German where they have a name of ours.
func (l Language) colours(all []string) string {
	var said []string
	for _, c := range all {
		said = append(said, l.word(strings.ToLower(c)))
	}
	return strings.Join(said, ", ")
}
