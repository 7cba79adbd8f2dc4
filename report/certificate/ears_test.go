package certificate

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/words/languages"
)

// heardByTwo is a visit of the small shop as if zones 1 to 3 had been heard over MQTT, and 4 and 5 by
// polling; one of them was lost for a moment.
func heardByTwo(t *testing.T, either ...string) *judge.Assessment {
	t.Helper()
	read := func(name string) []byte {
		data, err := os.ReadFile(filepath.Join("../../testdata/visits/base", name))
		require.NoError(t, err)
		return data
	}
	text, err := dryrun.Visit{Site: read("site.yaml"), Controller: read("controller.yaml"),
		Answers: read("answers.yaml")}.Journal(t.Context())
	require.NoError(t, err)
	contents, err := journal.Read(bytes.NewReader(text))
	require.NoError(t, err)
	f := &dryrun.Forged{Entries: contents.Entries}
	polled := map[string]bool{"z4": true, "z5": true}
	for _, i := range f.Of("signal") {
		dryrun.Edit(f, i, func(s *signal.Signal) {
			if s.Ear = signal.OverMQTT; polled[s.Address] {
				s.Ear = signal.ByPolling
			}
		})
	}
	for _, i := range f.Of("system") {
		dryrun.Edit(f, i, func(s *signal.System) { s.Ear = signal.OverMQTT })
	}
	mqtt := signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7, Tells: signal.Aspects,
		Addresses: append([]string{"z1", "z2", "z3"}, either...)}
	poll := signal.Listening{Way: signal.ByPolling, TimedBy: signal.ByComputer, UncertaintyNS: 55e7, AskedNS: 5e8,
		Addresses: []string{"z4", "z5"}}
	f.Put(f.Of("listening")[0], signal.Together([]signal.Listening{mqtt, poll}))
	signed := f.Of("signed")[0]
	f.Insert(signed, 0, signal.Connection{Up: true, Why: signal.BackAgain, Ear: signal.ByPolling})
	f.Insert(signed, 0, signal.Connection{Why: signal.Broken, Detail: "EOF", Ear: signal.ByPolling})
	forged, err := f.Bytes()
	require.NoError(t, err)
	contents, err = journal.Read(bytes.NewReader(forged))
	require.NoError(t, err)
	r, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	return judge.Assess(r)
}

// Each of several ways says how it took times, of which zones, and which was lost; in each language.
func TestHowTimesWereTakenBySeveral(t *testing.T) {
	a := heardByTwo(t)
	for tag, want := range map[string][]string{
		"en": {"How times were taken of zones 1–3: the controller's messages over MQTT, by the computer, from the cue to " +
			"the arrival of the message; uncertainty ± 0.05 s (k = 2). A time runs from the cue",
			"How times were taken of zones 4, 5: the controller's answers over HTTP (polling), by the computer, from the cue " +
				"to the arrival of the message; uncertainty ± 0.55 s (k = 2). A change is seen", "(polling)", "controller lost"},
		"de": {"Wie die Zeiten der Linien 1–3 genommen wurden:", "Wie die Zeiten der Linien 4, 5 genommen wurden:",
			"Unsicherheit ± 0,55 s (k = 2).", "(Abfrage)"},
	} {
		l, is := languages.ByTag(tag)
		require.True(t, is)
		text := Write(a, Options{Language: l, Revision: 1, Tool: "loopwitness test"}).PlainText()
		for _, part := range want {
			assert.Contains(t, text, part, tag)
		}
	}
	english, _ := languages.ByTag("en")
	text := func(a *judge.Assessment) string {
		return Write(a, Options{Language: english, Revision: 1, Tool: "loopwitness test"}).PlainText()
	}
	assert.Equal(t, 1, strings.Count(text(a), "A time runs from the cue"), "what a time is a bound of is said once")
	assert.NotContains(t, text(a), "More than one of these ways")
	assert.Contains(t, text(heardByTwo(t, "z5")), "More than one of these ways can report zone 5: the first that did")
}
