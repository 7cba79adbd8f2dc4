package checks

import (
	"slices"
	"strings"
)

// coreColours are colours of cores as technicians write them, in English and in German, and
// as a drawing abbreviates them: by IEC 60757 (from memory), and the older German letters
// (common practice, no source). Whatever language the questions are in, each is known: what
// warns of mains must not depend on it. "gr" is missing: it is grey in one and green in another.
var coreColours = map[string][]string{
	"black":     {"black", "schwarz", "bk", "sw", "blk"},
	"brown":     {"brown", "braun", "bn", "br", "brn"},
	"red":       {"red", "rot", "rd", "rt"},
	"orange":    {"orange", "og", "or"},
	"yellow":    {"yellow", "gelb", "ye", "ge", "yel"},
	"green":     {"green", "grün", "gruen", "gn", "grn"},
	"blue":      {"blue", "blau", "bu", "bl", "blu", "hellblau", "dunkelblau", "light-blue", "lightblue"},
	"violet":    {"violet", "purple", "violett", "lila", "vt", "vi"},
	"grey":      {"grey", "gray", "grau", "gy"},
	"white":     {"white", "weiß", "weiss", "wh", "ws", "wht"},
	"pink":      {"pink", "rosa", "pk", "rs"},
	"turquoise": {"turquoise", "türkis", "tuerkis", "tq", "tk"},
	"bare":      {"bare", "blank"},
	earthColour: {"gnye", "yegn", "gnge", "gegn", "pe"},
}

// earthColour is green with yellow, however it is written.
const earthColour = "green-yellow"

// coreColour is the English name of a colour as it is typed, "" for one that is not known.
func coreColour(typed string) string {
	typed = plainColour(typed)
	for colour, names := range coreColours {
		if slices.Contains(names, typed) {
			return colour
		}
	}
	if greenYellow(typed) {
		return earthColour
	}
	return ""
}

// plainColour is in lower case, with letters of one rune: a keyboard may send ü as u with two
// dots behind it.
func plainColour(typed string) string {
	typed = strings.ToLower(strings.TrimSpace(typed))
	return strings.NewReplacer("u\u0308", "ü", "\u1e9e", "ß").Replace(typed)
}

// greenYellow tells of a name of both colours: whole words wherever they stand in it, and
// abbreviations where something divides them, as in gn/ye.
func greenYellow(typed string) bool {
	parts := strings.FieldsFunc(typed, func(r rune) bool { return strings.ContainsRune("/-+ &_.", r) })
	names := func(colour string) bool {
		return slices.ContainsFunc(coreColours[colour], func(name string) bool {
			return slices.Contains(parts, name) || len(name) > 3 && strings.Contains(typed, name)
		})
	}
	return names("green") && names("yellow")
}

func has(colours []string, want string) bool {
	return slices.ContainsFunc(colours, func(c string) bool { return coreColour(c) == want })
}

// mainsColours: cores commonly used for mains somewhere in the world: brown and
// blue, black and white, red and black with an earth, and any earth core.
func mainsColours(colours []string) bool {
	return has(colours, earthColour) || has(colours, "bare") || len(colours) == 3 && has(colours, "green") ||
		has(colours, "brown") && has(colours, "blue") ||
		len(colours) <= 3 && has(colours, "black") && has(colours, "white")
}
