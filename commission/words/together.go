package words

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Together tells whether two neighbouring words of a line are not parted: a number and its unit, a sign and what it is
// of, a numbered thing and its number, a count and what it counts, a day with its month, a date with its time, in any
// language of the catalogues.
//
// A number and its unit stand on one line: SI brochure, 9th edition, 5.4.3, from memory. The rest is common practice.
func Together(a, b string) bool {
	opens := strings.TrimLeft(a, "(“„\"")
	closes := strings.TrimRight(b, ",;:.)”“\"")
	switch {
	case slices.Contains(signs, opens) || slices.Contains(between, closes) || strings.HasPrefix(closes, "--"):
		return true
	case slices.Contains(partOf, opens) || slices.Contains(marking, opens):
		return numeric(closes)
	case group(strings.Trim(opens, "+)")) && group(closes) && len(opens)+len(closes) != 2*hexGroup:
		return true
	case numeric(opens):
		return slices.Contains(unitWords, closes) || dayOf(opens) && slices.Contains(months, closes) ||
			dated(opens) && timed(closes) || timed(opens) && strings.HasPrefix(closes, "+") && numeric(closes) ||
			counts(opens, closes)
	case slices.Contains(months, opens):
		return len(closes) == 4 && numeric(closes) || dayOf(closes)
	case strings.HasSuffix(opens, ","): // the day of an American date
		return dayOf(strings.TrimSuffix(opens, ",")) && len(closes) == 4 && numeric(closes)
	}
	return (slices.Contains(numbered, strings.ToLower(opens)) || slices.Contains(publishers, opens)) &&
		closes != "" && unicode.IsDigit(rune(closes[0])) ||
		slices.Contains(unitWords, opens) && slices.Contains(breakers, closes)
}

// hexGroup is how long the groups of a digest are: a line may end between two of those.
const hexGroup = 4

// group tells whether it may be a group of a telephone number's digits: two in a row are of one number.
func group(s string) bool { return len(s) > 1 && strings.Trim(s, "0123456789") == "" }

// counts tells whether a number counts what follows it: a whole number of at most three digits, and a part of a whole
// or a thing.
func counts(number, of string) bool {
	const digits, letters = 3, 4 // no "in", "the", "and": a thing's name is longer
	if len(number) > digits || strings.Trim(number, "0123456789") != "" {
		return false
	}
	first, _ := utf8.DecodeRuneInString(of)
	return slices.Contains(partOf, of) || unicode.IsLetter(first) && utf8.RuneCountInString(of) >= letters
}

var (
	signs   = []string{"±", "≤", "≥", "<", ">", "+", "−", "~", "/", "→", "=", "×"} // of what follows
	between = []string{"±", "/", "%", "=", "×"}                                    // of what stands before, too
	marking = []string{"F", "L", "N", "T"}                                         // findings, and the time-lag of a fuse
	partOf  = []string{"of", "von"}
	// publishers of standards, before a number
	publishers = []string{"EN", "IEC", "ISO", "DIN", "BS", "JCGM", "VDE", "ASTM", "TS", "TR"}
	breakers   = []string{"breaker", "fuse", "Automat", "Sicherung", "Leitungsschutzschalter"}
	// numbered things, in English and German.
	numbered = []string{
		"zone",
		"zones",
		"page",
		"pages",
		"trial",
		"visit",
		"grade",
		"class",
		"rev.",
		"firmware",
		"serial",
		"loopwitness",
		"meldelinie",
		"meldelinien",
		"linie",
		"linien",
		"seite",
		"seiten",
		"versuch",
		"termin",
		"grad",
		"klasse",
		"nr.",
	}
	unitWords = strings.Fields("V mV kV A mA µA Ah mAh Wh VA W mW Ω mΩ kΩ MΩ ohm mohm kohm Mohm Gohm s ms ns µs min h d " +
		"m mm cm km mm² mm2 ft in AWG °C °F C F K Hz kHz dB dB(A) % kB MB pt " +
		"day days week weeks month months year years hour hours minute minutes second seconds cell cells core cores " +
		"Tag Tage Tagen Woche Wochen Monat Monate Monaten Jahr Jahre Jahren Stunde Stunden Minute Minuten Sekunde Sekunden " +
		"Zelle Zellen Ader Adern")
	months = strings.Fields("January February March April May June July August September October November December " +
		"Januar Februar März Mai Juni Juli Oktober Dezember")
)

// numeric tells whether a word is a number, a range of numbers, a date or a time: it begins and ends with a digit and
// has no letter.
func numeric(s string) bool {
	s = strings.TrimLeft(s, "+-−<>±≤≥~")
	if s == "" || !isDigit(s[0]) || !isDigit(s[len(s)-1]) && s[len(s)-1] != '.' {
		return false
	}
	return !strings.ContainsFunc(s, unicode.IsLetter)
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

// dayOf tells whether a number may be the day of a month, as "26" or "26.".
func dayOf(s string) bool {
	s = strings.TrimSuffix(s, ".")
	return len(s) > 0 && len(s) <= 2 && isDigit(s[0]) && isDigit(s[len(s)-1])
}

func dated(s string) bool { return strings.Count(s, "-") == 2 || strings.Count(s, ".") == 2 }

func timed(s string) bool {
	return strings.Contains(s, ":") && numeric(s) && !strings.ContainsAny(s, "+-")
}
