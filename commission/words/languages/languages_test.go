package languages_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
)

// alike are texts that are the same in two languages: names, units and what is made of
// placeholders alone.
var alike = []string{
	"Alarm", "Computer", "Terminal", "Voltmeter", "R", "$1 s", "$1, $2 MB", "±",
}

// others are the languages beside English.
func others(t *testing.T) []words.Language {
	t.Helper()
	all := languages.All()
	require.Greater(t, len(all), 1)
	require.Equal(t, words.English{}.Tag(), all[0].Tag())
	return all[1:]
}

func TestEachLanguageIsFoundByItsTag(t *testing.T) {
	for _, l := range languages.All() {
		found, has := languages.ByTag(l.Tag())
		assert.True(t, has)
		assert.Equal(t, l, found)
	}
	_, has := languages.ByTag("")
	assert.False(t, has)
}

var placeholder = regexp.MustCompile(`\$[0-9]`)

// A phone's page has all of its texts in every language, with the places that the page
// fills in, and none of them was left in English.
func TestAPhonesPageSpeaksEveryLanguage(t *testing.T) {
	for _, texts := range []func(words.Language) map[string]string{words.PageTexts, words.LearningPageTexts} {
		english := texts(words.English{})
		require.Greater(t, len(english), 100)
		for _, l := range others(t) {
			other := texts(l)
			assert.Equal(t, l.Tag(), other["lang"])
			assert.Len(t, other, len(english))
			for code, text := range english {
				differs(t, l, "page/"+code, text, other[code])
			}
		}
	}
}

// differs tells of a text that was not translated, or lost a place that is filled in.
func differs(t *testing.T, l words.Language, code, english, other string) {
	t.Helper()
	assert.NotEmpty(t, other, "%s %s", l.Tag(), code)
	if !slices.Contains(alike, other) {
		assert.NotEqual(t, english, other, "%s %s", l.Tag(), code)
	}
	count := func(text string) []string {
		found := placeholder.FindAllString(text, -1)
		slices.Sort(found)
		return found
	}
	assert.Equal(t, count(english), count(other), "%s %s", l.Tag(), code)
}

// constants are the values of those of a type that a room declares.
func constants(t *testing.T, room, of string) (values []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", room, "*.go"))
	require.NoError(t, err)
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			spec, is := n.(*ast.ValueSpec)
			if !is || len(spec.Values) != 1 {
				return true
			}
			if typ, is := spec.Type.(*ast.Ident); !is || typ.Name != of {
				return true
			}
			if literal, is := spec.Values[0].(*ast.BasicLit); is && literal.Kind == token.STRING {
				value, err := strconv.Unquote(literal.Value)
				require.NoError(t, err)
				values = append(values, value)
			}
			return true
		})
	}
	require.NotEmpty(t, values, "%s.%s", room, of)
	return values
}

// A caution is in every language, and as long as one that says the same may be: one that
// lost a sentence would not be.
func TestCautionsAreWholeInEveryLanguage(t *testing.T) {
	for _, value := range constants(t, "judge", "Caution") {
		english := words.English{}.Say(judge.Caution(value))
		for _, l := range others(t) {
			other := l.Say(judge.Caution(value))
			differs(t, l, value, english, other)
			assert.GreaterOrEqual(t, 2*utf8.RuneCountInString(other), utf8.RuneCountInString(english), "%s %s", l.Tag(), value)
			assert.GreaterOrEqual(t, sentences(other), sentences(english), "%s %s", l.Tag(), value)
		}
	}
}

var ends = regexp.MustCompile(`\pL[.;:]( |$)`)

func sentences(text string) int { return len(ends.FindAllString(text, -1)) }

// Phrases that are codes without arguments are said in the language, not in English.
func TestCodesAreSaidInEveryLanguage(t *testing.T) {
	for _, of := range []struct {
		room, name string
		phrase     func(string) words.Phrase
	}{
		{"ask", "Matter", func(v string) words.Phrase { return ask.Matter(v) }},
		{"ask", "Advice", func(v string) words.Phrase { return ask.Advice(v) }},
		{"ask", "Choice", func(v string) words.Phrase { return ask.Choice(v) }},
		{"ask", "Key", func(v string) words.Phrase { return ask.Key(v) }},
		{"ask", "RoamChoice", func(v string) words.Phrase { return ask.RoamChoice(v) }},
		{"ask", "PhoneRefusal", func(v string) words.Phrase { return ask.PhoneRefusal(v) }},
		{"ask", "PairMatter", func(v string) words.Phrase { return ask.PairMatter(v) }},
		{"ask", "Standing", func(v string) words.Phrase { return ask.Standing(v) }},
		{"ask/typed", "Hint", func(v string) words.Phrase { return typed.Hint(v) }},
		{"programme", "ItemCode", func(v string) words.Phrase { return programme.ItemCode(v) }},
		{"programme", "Stage", func(v string) words.Phrase { return programme.Stage(v) }},
		{"programme", "Role", func(v string) words.Phrase { return programme.Role(v) }},
		{"programme", "VisitKind", func(v string) words.Phrase { return programme.VisitKind(v) }},
		{"record", "Law", func(v string) words.Phrase { return record.Law(v) }},
		{"record", "Verdict", func(v string) words.Phrase { return record.Verdict(v) }},
		{"judge", "Overall", func(v string) words.Phrase { return judge.Overall(v) }},
		{"judge", "Severity", func(v string) words.Phrase { return judge.Severity(v) }},
		{"judge", "Remedy", func(v string) words.Phrase { return judge.Remedy(v) }},
		{"judge", "Part", func(v string) words.Phrase { return judge.Part(v) }},
		{"judge", "Incomparable", func(v string) words.Phrase { return judge.Incomparable(v) }},
		{"words", "Heading", func(v string) words.Phrase { return words.Heading(v) }},
		{"words", "Column", func(v string) words.Phrase { return words.Column(v) }},
		{"words", "Note", func(v string) words.Phrase { return words.Note(v) }},
		{"words", "SinceLabel", func(v string) words.Phrase { return words.SinceLabel(v) }},
		{"words", "SinceNote", func(v string) words.Phrase { return words.SinceNote(v) }},
	} {
		for _, value := range constants(t, of.room, of.name) {
			phrase := of.phrase(value)
			for _, l := range others(t) {
				differs(t, l, phrase.Code(), words.English{}.Say(phrase), l.Say(phrase))
			}
		}
	}
}

// Whoever names a thing after a verdict has it quoted: it cannot be read as ours. What cannot
// be taken for ours stands as it was typed, and no mark of quotation in it ends the quotation.
func TestNamesCannotSpeakForUsInAnyLanguage(t *testing.T) {
	for _, l := range languages.All() {
		quotes := func(text string) (string, string) {
			t.Helper()
			quoted := []rune(l.Say(words.Remarked(text)))
			require.Greater(t, len(quoted), 2, l.Tag())
			return string(quoted[0]), string(quoted[len(quoted)-1])
		}
		open, end := quotes("worn")
		for _, p := range []words.Phrase{judge.Satisfactory, judge.WithLimitations, judge.Unsatisfactory, record.Proved,
			record.Undecided, judge.Danger, judge.Fault, judge.Advice} {
			name := "Kiln " + l.Say(p)
			assert.Equal(t, open+name+end, l.Say(words.Named(name)), l.Tag())
		}
		for _, name := range []string{"Kiln room", "Glasurküche", "Fenster 3.1 (Süd)"} {
			assert.Equal(t, name, l.Say(words.Named(name)), l.Tag())
		}
		hostile := []rune(l.Say(words.Remarked("a" + end + ", b" + open + "c")))
		inside := string(hostile[1 : len(hostile)-1])
		assert.NotContains(t, inside, open, l.Tag())
		assert.NotContains(t, inside, end, l.Tag())
	}
}
