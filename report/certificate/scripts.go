package certificate

import (
	"maps"
	"reflect"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// shownScripts are those whose letters stand beside each other as they are, and that our fonts have. All others need
// to be joined, stacked or reordered, or are not in the fonts: they are never drawn half right.
var shownScripts = []*unicode.RangeTable{
	unicode.Latin,
	unicode.Greek,
	unicode.Cyrillic,
	unicode.Hebrew,
	unicode.Armenian,
	unicode.Georgian,
	unicode.Common,
	unicode.Inherited,
}

// shows tells whether a character can be drawn as its readers write it.
func (f *face) shows(r rune) bool {
	return r >= ' ' && r <= '~' || f.width(r) >= 0 && unicode.In(r, shownScripts...)
}

// unseen are characters that show nothing by themselves: joiners, variation selectors, and the points of Hebrew,
// which is read without them.
func unseen(r rune) bool {
	return r == '\u200c' || r == '\u200d' || r >= '\ufe00' && r <= '\ufe0f' ||
		unicode.Is(unicode.Hebrew, r) && unicode.Is(unicode.Mn, r)
}

func isolate(r rune) bool {
	return string(r) == words.FirstStrongIsolate || string(r) == words.PopIsolate
}

// apostrophes are drawn as print has them where they stand between letters, or behind the s of an owner.
func apostrophes(s string) string {
	if !strings.Contains(s, "'") {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		before, _ := utf8.DecodeLastRuneInString(s[:i])
		after, _ := utf8.DecodeRuneInString(s[i+1:])
		if r == '\'' && unicode.IsLetter(before) && (unicode.IsLetter(after) || before == 's' && after == ' ') {
			r = '’'
		}
		b.WriteRune(r)
	}
	return b.String()
}

// legible makes a text from outside printable: nothing is dropped that a reader would see. Line breaks stay, other
// white space becomes a blank. Letters that cannot be drawn give the name of their script in their place, ‹Han›, and
// controls ¤.
func legible(s string, f *face) string {
	s = apostrophes(s)
	if !strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r > '~' }) {
		return s // most texts are, and every font has them
	}
	var b strings.Builder
	last := "" // the script whose letters are being passed over
	for _, r := range norm.NFC.String(strings.ToValidUTF8(s, "\ufffd")) {
		name := ""
		switch {
		case r == '\n', isolate(r):
			b.WriteRune(r)
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		case unseen(r):
			continue
		case unicode.IsControl(r) || unicode.Is(unicode.Cf, r):
			b.WriteRune('¤')
		case f.shows(r):
			b.WriteRune(r)
		default:
			if name = scriptOf(r); name != last {
				b.WriteString("‹" + name + "›")
			}
		}
		last = name
	}
	return b.String()
}

// scriptOf is the name of a character's script in the Unicode Standard; "symbol" for what belongs to none.
func scriptOf(r rune) string {
	for _, name := range slices.Sorted(maps.Keys(unicode.Scripts)) {
		if name != "Common" && name != "Inherited" && unicode.Is(unicode.Scripts[name], r) {
			return strings.ReplaceAll(name, "_", " ")
		}
	}
	return "symbol"
}

// Unprintable names the scripts of a text that pages cannot show, in order; none where all of it can be.
func Unprintable(text string) (scripts []string) {
	f := faceFor(text, false)
	for _, r := range norm.NFC.String(text) {
		if unicode.IsSpace(r) || unseen(r) || isolate(r) || unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || f.shows(r) {
			continue
		}
		if name := scriptOf(r); !slices.Contains(scripts, name) {
			scripts = append(scripts, name)
		}
	}
	return scripts
}

// printedAs puts the second, printed names of the site file in the place of those that pages cannot show. A printed
// name is quoted where it could be taken for a word of ours.
func (d *Document) printedAs(all []site.Printed) {
	var pairs []string
	for _, p := range slices.SortedStableFunc(slices.Values(all), func(a, b site.Printed) int {
		return len(b.Typed) - len(a.Typed) // the longest first, of which another may be a part
	}) {
		if len(Unprintable(p.Typed)) > 0 {
			pairs = append(pairs, p.Typed, d.Language.Say(words.Named(p.As)))
		}
	}
	if len(pairs) > 0 {
		rewrite(reflect.ValueOf(d).Elem(), strings.NewReplacer(pairs...).Replace)
	}
}

// unshown tells whether a text of the document holds letters that pages cannot show.
func (d *Document) unshown() bool {
	is := false
	rewrite(reflect.ValueOf(d).Elem(), func(text string) string {
		is = is || len(Unprintable(text)) > 0
		return text
	})
	return is
}

// rewrite changes every text of a value that holds no pointers to texts.
func rewrite(v reflect.Value, change func(string) string) {
	switch v.Kind() {
	case reflect.String:
		if was := v.String(); was != "" {
			if now := change(was); now != was {
				v.SetString(now)
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				rewrite(v.Field(i), change)
			}
		}
	case reflect.Slice, reflect.Array:
		if v.Type().Elem().Kind() != reflect.Uint8 {
			for i := range v.Len() {
				rewrite(v.Index(i), change)
			}
		}
	case reflect.Interface:
		if block, is := v.Interface().(Block); is {
			own := reflect.New(reflect.TypeOf(block)).Elem()
			own.Set(reflect.ValueOf(block))
			rewrite(own, change)
			v.Set(own)
		}
	}
}
