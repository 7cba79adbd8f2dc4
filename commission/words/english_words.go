package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
)

// ofWords says the words that a person types, which in English are the codes, and why an answer
// is refused.
func (English) ofWords(p Phrase) (string, bool) {
	switch p := p.(type) {
	case typed.Word:
		return string(p), true
	case typed.NoKey:
		return fmt.Sprintf("%q is none of: %s", p.Text, strings.Join(p.Words, ", ")), true
	case ask.Refused:
		return p.Error(), true
	}
	return "", false
}
