package words_test

import (
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/judge"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
	"loopwitness/commission/words/pseudo"
)

// declaredPhrases are examples of every phrase that the rooms declare, with every constant. A
// phrase without an example fails.
func declaredPhrases(t *testing.T) (out []words.Phrase) {
	t.Helper()
	all := declaredIn(t, folders...)
	require.Greater(t, len(all.phrases), 80)
	tried := map[string]bool{}
	for _, p := range examples(all) {
		tried[nameOf(p)] = true
		out = append(out, p)
		if v := reflect.ValueOf(p); v.Kind() == reflect.String {
			for _, constant := range all.constants[nameOf(p)] {
				out = append(out, reflect.ValueOf(constant).Convert(v.Type()).Interface().(words.Phrase))
			}
		}
	}
	for _, what := range all.constants["words.AroundCode"] {
		out = append(out, aroundOf(words.AroundCode(what)))
		tried["words.Around"] = true
	}
	for _, r := range slices.Concat(rows, reusedRows) {
		tried[nameOf(r)] = true
	}
	for name := range all.phrases {
		assert.True(t, tried[name], "%s has no example", name)
	}
	for name := range tried {
		assert.True(t, all.phrases[name], "%s is no phrase any more", name)
	}
	return out
}

// argument is a place for one in a format.
var argument = regexp.MustCompile(`%[.\d]*([a-z])`)

// aroundOf is what is said around a visit, with as many arguments as English has.
func aroundOf(what words.AroundCode) words.Around {
	of := words.Around{What: what}
	for _, m := range argument.FindAllStringSubmatch(words.AroundInEnglish(what), -1) {
		if m[1] == "d" {
			of.Of = append(of.Of, 2)
			continue
		}
		of.Of = append(of.Of, words.AsTyped("typed"))
	}
	return of
}

// Every phrase that the rooms declare is said in every language, every constant of it too.
func TestEveryPhraseIsSaid(t *testing.T) {
	declared := declaredPhrases(t)
	for _, p := range declared {
		text := said(t, words.English{}, p)
		assert.Equal(t, pseudo.Open+text+pseudo.Close, pseudo.Language{}.Say(p))
	}
	asked := words.Asked(t)
	require.Greater(t, len(asked), 140)
	for _, l := range languages.All() {
		for _, l := range []words.Language{l, l.In(site.US)} {
			for _, p := range declared {
				said(t, l, p)
			}
			for _, p := range asked {
				text := l.Say(p)
				assert.NotEmpty(t, text, "%T %s", p, p.Code())
				for _, broken := range []string{"%!", "  (", "<nil>", ": :"} {
					assert.NotContains(t, text, broken, p.Code())
				}
				assert.NotEmpty(t, p.Code())
			}
		}
	}
}

// Every computed row is said in every language part by part, whatever came of it.
func TestEveryRowIsSaid(t *testing.T) {
	for _, l := range languages.All() {
		t.Run(l.Tag(), func(t *testing.T) {
			for _, r := range slices.Concat(rows, reusedRows) {
				for _, verdict := range []checks.Ruling{"", checks.Pass, checks.Undecided, checks.Fail} {
					row := l.Computed(judge.Computed{Row: r, Ruling: verdict})
					for _, part := range []string{row.About, row.Formula, row.Inputs, row.Result} {
						assert.NotEmpty(t, part, r.Code())
					}
					for _, part := range []string{row.About, row.Formula, row.Inputs, row.Result, row.Limit, row.Change} {
						assert.NotContains(t, part, "%!", r.Code())
						assert.NotContains(t, part, "<nil>", r.Code())
					}
					text := said(t, l, judge.ComputedSo{Row: r, Ruling: verdict})
					assert.NotContains(t, text, "“limit ”", r.Code())
					text = said(t, l, judge.NotComputed{Row: r.Code(), Lacks: []judge.Lack{lackOf(judge.LackLevel)}})
					assert.NotContains(t, text, "judged: ;", r.Code())
					said(t, l, judge.Subject{Computed: r})
				}
			}
			for _, what := range declaredIn(t, "../judge").constants["judge.LackCode"] {
				row := l.Computed(judge.Computed{Row: rows[0], Missing: []judge.Lack{lackOf(judge.LackCode(what))}})
				assert.NotEmpty(t, row.Missing)
			}
		})
	}
}

// What the site file and a visit may name is what there is a catalogue of.
func TestLanguagesAreThoseOfSites(t *testing.T) {
	var tags []string
	for _, l := range languages.All() {
		tags = append(tags, l.Tag())
		assert.Equal(t, l, l.In(site.Metric), "metric, said or not, is one")
		assert.NotEqual(t, l, l.In(site.US))
		assert.Equal(t, l.Tag(), l.In(site.US).Tag())
	}
	assert.Equal(t, site.Languages, tags)
	assert.Equal(t, languages.All()[0], languages.OfSite(&site.Site{}))
	german, known := languages.ByTag("de")
	require.True(t, known)
	assert.Equal(t, german, languages.OfSite(&site.Site{Language: "de"}))
	assert.Equal(t, german.In(site.US), languages.OfSite(&site.Site{Language: "de", Units: site.US}))
}

// A language without words of its own for a caution, or for what does harm if it is missed, is
// not offered.
func TestEveryLanguageHasItsOwnCautions(t *testing.T) {
	var cautions []words.Phrase
	for _, code := range declaredIn(t, "../judge").constants["judge.Caution"] {
		cautions = append(cautions, judge.Caution(code))
	}
	require.Greater(t, len(cautions), 8)
	for _, p := range words.Asked(t) {
		if n, is := p.(ask.Notice); is && (n.Weight() == ask.Caution || n.Weight() == ask.Alarm) {
			cautions = append(cautions, p)
		}
	}
	require.Greater(t, len(cautions), 30)
	cautions = append(cautions, typed.CautionWord, typed.WholeYesHint, words.SimulatedWarning)
	first := languages.All()[0]
	for _, l := range languages.All()[1:] {
		for _, p := range cautions {
			if text := first.Say(p); strings.ContainsFunc(text, unicode.IsLetter) { // a count is the same everywhere
				assert.NotEqual(t, text, l.Say(p), "%s has no %s", l.Tag(), p.Code())
			}
		}
	}
}

// The words that are typed for answers and keys can be told apart: none is the code or the word
// of another. A yes that can do harm has its own.
func TestTypedWordsAreTold(t *testing.T) {
	codes := typed.Inside()
	for _, p := range words.Asked(t) {
		if k, is := p.(ask.Key); is {
			codes = append(codes, string(k))
		}
	}
	codes = append(codes, declaredIn(t, "../record").constants["record.Result"]...)
	codes = append(codes, ask.Yes, ask.No, "y", "n", ask.RedoWord, ask.ItemsRest, ask.ItemsEach, ask.ItemsLeave,
		typed.WholeBoard, ask.Never, ask.Skipped, string(ask.NotMeasured), string(ask.OpenLoop))
	slices.Sort(codes)
	codes = slices.Compact(codes)
	for _, l := range languages.All() {
		of := map[string]string{}
		for _, code := range codes {
			word := l.Say(typed.Word(code))
			assert.Empty(t, of[word], "%s: %q and %q are both %q", l.Tag(), code, of[word], word)
			of[word] = code
			assert.True(t, word == code || !slices.Contains(codes, word), "%s: %q is the code of another", l.Tag(), word)
			assert.Equal(t, strings.ToLower(word), word)
		}
	}
}

// What is typed in a language is what its codes are; the codes are taken in every language.
func TestMeant(t *testing.T) {
	german, _ := languages.ByTag("de")
	choice := ask.OneOf{Options: []ask.Option{{Word: "leave", Label: ask.LeaveChoice}, {Word: "not tested",
		Label: ask.NotTestedChoice}}}
	volts := ask.Quantity{In: checks.Voltage, Instead: ask.NotMeasured, Unit: "V"}
	for _, tc := range []struct {
		takes      ask.Takes
		text, want string
	}{
		{ask.YesNo{}, "ja", "yes"}, {ask.YesNo{}, "J", "yes"}, {ask.YesNo{}, "Nein", "no"}, {ask.YesNo{}, "yes", "yes"},
		{ask.YesNo{Danger: true}, "ja", "yes"}, {ask.YesNo{Danger: true}, "yes", "yes"}, {ask.YesNo{Danger: true}, "j", ""},
		{ask.YesNo{Danger: true}, "Ja", ""}, {choice, "nicht geprüft", "not tested"}, {choice, "not tested", "not tested"},
		{choice, "ja", ""}, {volts, "keine", "none"}, {volts, "13,68", "13.68 V"}, {volts, "offen", ""},
		{ask.Line{}, "ja", "ja"}, {ask.Line{}, "rot", "rot"},
		{ask.Items{}, "einzeln", "each"}, {ask.Items{}, "rest", "rest"},
		{ask.SoundLevel{}, "96,5 dB(A) in 3 m ± 0,1 m über 55 dB Klasse 2", "96.5 dB(A) at 3 m ± 0.1 m over 55 dB class 2"},
		{ask.CableSeen{}, "3 braun Blau, grün-gelb / rot in Flur", "3 brown blue, green-yellow / rot in Flur"},
		{ask.CableValues{}, "offen >200 Mohm keine", "open >200 Mohm none"},
		{ask.CableValues{}, "widerstand 4,71k >200 Mohm", "resistor 4.71k >200 Mohm"},
	} {
		got, err := typed.Answer(german, ask.Question{Takes: tc.takes}, tc.text)
		if tc.want == "" {
			require.Error(t, err, tc.text)
			refusal := typed.Refusal(german, err)
			assert.NotEqual(t, err.Error(), refusal)
			continue
		}
		require.NoError(t, err, tc.text)
		assert.Equal(t, tc.want, got.Text, tc.text)
	}
	got, err := typed.Answer(german, ask.Question{Takes: ask.YesNo{Danger: true}, Redo: ask.LevelMatter}, "wiederholen")
	require.NoError(t, err)
	assert.True(t, got.Redo)
	assert.Equal(t, ask.Skip, typed.Key(german, []ask.Key{ask.Ready, ask.Skip}, "auslassen"))
	assert.Equal(t, ask.Skip, typed.Key(german, []ask.Key{ask.Ready, ask.Skip}, "skip"))
	assert.Empty(t, typed.Key(german, []ask.Key{ask.Ready}, "auslassen"))
}

// alike are texts that German has in common with English: names, codes, what was typed, and
// words that both languages write so.
var alike = map[string]bool{
	"800 mA":                   true,
	"500 mA":                   true,
	"400 mA":                   true,
	"9400 Ω":                   true,
	"3 s":                      true,
	"R":                        true,
	"s":                        true,
	"V":                        true,
	"Ω":                        true,
	"Computer":                 true,
	"Voltmeter":                true,
	"Journal":                  true,
	"SHA-256 0123 …":           true,
	"typed":                    true,
	"as typed":                 true,
	"Chime":                    true,
	"Sounder":                  true,
	"agreed with the customer": true,
	"3.2 Window by the sink":   true,
}

// Lengths, conductors and days in both units. 1 ft is 0.3048 m and 1 in is 25.4 mm exactly, as
// agreed internationally in 1959 (from memory); the cross-sections of gauges are those of ASTM
// B258: 24 AWG 0.205 mm², 22 AWG 0.326 mm², 18 AWG 0.823 mm², 4/0 AWG 107 mm² (from memory).
func TestUnits(t *testing.T) {
	english := languages.All()[0]
	german, _ := languages.ByTag("de")
	cable := func(length, conductor string) words.Phrase {
		return words.ZoneCable{Length: length, Conductor: conductor}
	}
	for _, tc := range []struct {
		p                        words.Phrase
		metric, us, german, inUS string
	}{
		{cable("18 m", "0.22 mm2"), "cable 18 m of 0.22 mm²", "cable 59.1 ft of 24 AWG (0.22 mm²)", "Kabel 18 m mit 0,22 mm²",
			"Kabel 59,1 ft mit 24 AWG (0,22 mm²)"},
		{cable("100 m", "0.33 mm2"), "cable 100 m of 0.33 mm²", "cable 328 ft of 22 AWG (0.33 mm²)",
			"Kabel 100 m mit 0,33 mm²", "Kabel 328 ft mit 22 AWG (0,33 mm²)"},
		{cable("1 m", "0.75 mm2"), "cable 1 m of 0.75 mm²", "cable 3.28 ft of 18 AWG (0.75 mm²)", "Kabel 1 m mit 0,75 mm²",
			"Kabel 3,28 ft mit 18 AWG (0,75 mm²)"},
		{cable("0.1 m", "107 mm2"), "cable 0.1 m of 107 mm²", "cable 3.94 in of 4/0 AWG (107 mm²)",
			"Kabel 0,1 m mit 107 mm²", "Kabel 3,94 in mit 4/0 AWG (107 mm²)"},
		{cable("2.5 km", "22 AWG"), "cable 2.5 km of 22 AWG", "cable 8202 ft of 22 AWG", "Kabel 2,5 km mit 22 AWG",
			"Kabel 8202 ft mit 22 AWG"},
		{cable("60 ft", "22 AWG"), "cable 60 ft of 22 AWG", "cable 60 ft of 22 AWG", "Kabel 60 ft mit 22 AWG",
			"Kabel 60 ft mit 22 AWG"},
		{words.Measured("96.5 dB(A) at 3 m ± 0.1 m over 55 dB class 2"), "96.5 dB(A) at 3 m ± 0.1 m over 55 dB class 2",
			"96.5 dB(A) at 9.84 ft ± 3.94 in over 55 dB class 2", "96,5 dB(A) in 3 m ± 0,1 m über 55 dB Klasse 2",
			"96,5 dB(A) in 9,84 ft ± 3,94 in über 55 dB Klasse 2"},
		{words.Measured("13.62 V"), "13.62 V", "13.62 V", "13,62 V", "13,62 V"},
		{words.Measured("open"), "open", "open", "offen", "offen"},
		{words.Detail{Kind: words.AtDetail, Text: "1 m"}, "at 1 m", "at 3.28 ft", "in 1 m", "in 3,28 ft"},
	} {
		assert.Equal(t, tc.metric, english.Say(tc.p))
		assert.Equal(t, tc.us, english.In(site.US).Say(tc.p))
		assert.Equal(t, tc.german, german.Say(tc.p))
		assert.Equal(t, tc.inUS, german.In(site.US).Say(tc.p))
	}
	for l, want := range map[words.Language]string{english: "24 November 2026", english.In(site.US): "November 24, 2026",
		german: "24. November 2026", german.In(site.US): "24. November 2026"} {
		assert.Equal(t, want, l.Date(noon))
	}
}

// What German says is not what English says: a text that nobody has translated is found.
func TestGermanIsNotEnglish(t *testing.T) {
	english := languages.All()[0]
	german, _ := languages.ByTag("de")
	found := map[string]bool{}
	same := func(code, a, b string) {
		if a == b && strings.ContainsFunc(a, unicode.IsLetter) {
			found[a] = true
			assert.True(t, alike[a], "%s: both say %q", code, a)
		}
	}
	for _, p := range append(declaredPhrases(t), words.Asked(t)...) {
		same(p.Code(), english.Say(p), german.Say(p))
	}
	for _, r := range slices.Concat(rows, reusedRows) {
		for _, verdict := range []checks.Ruling{"", checks.Pass, checks.Undecided, checks.Fail} {
			of := judge.Computed{Row: r, Ruling: verdict}
			a, b := english.Computed(of), german.Computed(of)
			same(r.Code(), a.About, b.About)
			same(r.Code(), a.Inputs, b.Inputs)
			same(r.Code(), a.Formula, b.Formula)
			same(r.Code(), a.Result, b.Result)
			same(r.Code(), a.Limit, b.Limit)
			same(r.Code(), a.Change, b.Change)
		}
	}
	for text := range alike {
		assert.True(t, found[text], "%q is no longer alike", text)
	}
}
