package certificate

import (
	"os"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/words"
)

// caseText is the certificate of one of the visits that are kept as scripts.
func caseText(t *testing.T, name string, change func(v *dryrun.Visit)) string {
	t.Helper()
	data, err := os.ReadFile("../../testdata/visits/" + name + ".txtar")
	require.NoError(t, err)
	c, err := dryrun.ReadCase(txtar.Parse(data), "../../testdata/visits/base")
	require.NoError(t, err)
	change(&c.Visit)
	a, err := c.Visit.Run(t.Context())
	require.NoError(t, err)
	return Write(a, Options{Language: words.English{}, Revision: 1, Tool: "loopwitness test"}).PlainText()
}

// sectionOf is the text of a section, "" where there is none.
func sectionOf(text, heading string) string {
	_, after, has := strings.Cut(text, "\n# "+heading+"\n")
	if !has {
		return ""
	}
	section, _, _ := strings.Cut(after, "\n# ")
	return section
}

const (
	onThePremises = "Found on the premises, not in the site file"
	asToldThen    = "As it was told"
)

// A circuit of which nobody knows how it is wired has its loop printed as it was read, and no
// words of the program anywhere; how the battery stands is not said to have been asked.
func TestALoopOfUnknownWiring(t *testing.T) {
	for name, c := range map[string]struct {
		read string // the answer to what the loop reads
		want string
	}{
		"in ohm":  {"1.2 ohm", "1.2 Ω"},
		"as open": {"open", "open"},
	} {
		text := caseText(t, "take-over-of-a-bare-file", func(v *dryrun.Visit) {
			require.Contains(t, string(v.Answers), "say: 2 ohm")
			v.Answers = []byte(strings.Replace(string(v.Answers), "say: 2 ohm", "say: "+c.read, 1))
			require.NotContains(t, string(v.Site), "form:")
		})
		assert.NotContains(t, text, "usable quantity", name)
		assert.NotContains(t, text, "Loop of zone 2", name)
		assert.Contains(t, text, "so its loop cannot be held against anything", name)
		found := sectionOf(text, onThePremises)
		assert.Regexp(t, `loop, as it was read[^\n]*`+c.want+`[^\n]*measured here`, found, name)
		assert.Contains(t, found, "it is held against nothing", name)
		assert.Contains(t, text, "nobody was asked; taken as on the controller", name)
	}
}

// What is told stands apart: nothing of it is taken as if the site file had it.
func TestWhatIsToldStandsApart(t *testing.T) {
	same := func(*dryrun.Visit) {}
	alarm := caseText(t, "after-a-false-alarm", same)
	assert.Empty(t, sectionOf(alarm, onThePremises))
	assert.Contains(t, sectionOf(alarm, asToldThen), "as told")
	assert.NotContains(t, alarm, "as if the site file had it")

	taken := caseText(t, "take-over-of-a-bare-file", same)
	assert.Contains(t, sectionOf(taken, asToldThen), "who installed it")
	assert.NotContains(t, sectionOf(taken, onThePremises), "who installed it")
	assert.Contains(t, sectionOf(taken, onThePremises), "as if the site file had it")
}
