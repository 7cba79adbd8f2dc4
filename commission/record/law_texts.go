package record

import (
	"encoding/json"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/oneline"
)

// The laws of texts.
const (
	// LawTypedLines: what somebody typed is one line that can be seen as it is.
	LawTypedLines Law = "typed-lines"
	// LawTextsSeen: so is what machines and this program wrote.
	LawTextsSeen Law = "texts-seen"
	// LawSiteFile: the site file is one with which a visit begins.
	LawSiteFile Law = "site-file"
	// LawKnownCodes: what is said by codes has no text in their place.
	LawKnownCodes Law = "known-codes"
)

var textLaws = []rule{
	{law: LawTypedLines, consequence: Refused, entry: typedOtherwise},
	{law: LawTextsSeen, consequence: Limits, entry: unseenTexts},
	{law: LawSiteFile, consequence: Refused},
	{law: LawKnownCodes, consequence: Refused},
}

// notTyped are the keys of texts that come from machines or from this program; file and
// picture are those whose text is none.
var (
	notTyped = map[string]bool{"raw": true, "detail": true, "failed": true, "address": true, "tool": true,
		"follows": true, "said": true, "shown": true}
	noText = map[string]bool{"site": true, "drawing": true, "logo": true}
)

func typedOtherwise(_ *Record, e journal.Entry, _ Fact) bool {
	return anyText(e, false, func(text string) bool { return oneline.Check(text) != nil })
}

func unseenTexts(_ *Record, e journal.Entry, _ Fact) bool {
	return anyText(e, true, func(text string) bool { return oneline.CheckSeen(text) != nil })
}

// anyText tells whether any text of an entry is so: of those that were typed, or of the others.
func anyText(e journal.Entry, others bool, so func(string) bool) bool {
	var body any
	return !plain(e.Body) && json.Unmarshal(e.Body, &body) == nil && anyIn(body, false, others, so)
}

// plain tells whether nothing but short texts of letters and signs that everybody sees can
// stand in a body. Most are so, and need not be read once more for each law of texts.
func plain(body []byte) bool {
	for i, b := range body {
		escape := b == '\\' && (i+1 == len(body) || body[i+1] != '"' && body[i+1] != '\\')
		if b < ' ' || b > '~' || escape {
			return false
		}
	}
	return len(body) <= oneline.Longest
}

func anyIn(value any, other, others bool, so func(string) bool) bool {
	switch value := value.(type) {
	case string:
		return other == others && so(value)
	case []any:
		for _, one := range value {
			if anyIn(one, other, others, so) {
				return true
			}
		}
	case map[string]any:
		for key, one := range value {
			if !noText[key] && anyIn(one, other || notTyped[key], others, so) {
				return true
			}
		}
	}
	return false
}
