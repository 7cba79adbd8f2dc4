package visit_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
)

const takeOverAnswers = `answers:
  - {when: told/history/by, say: the former owner}
  - {when: told/history/when, say: about 2009}
  - {when: told/history/*, say: ""}
  - {when: "found/cable/*/length", say: 20 m}
  - {when: "found/cable/*/conductor", say: ""}
  - {when: "found/cable/*", say: papers}
  - {when: found/battery/cells, say: "6"}
  - {when: found/battery/capacity, say: ""}
  - {when: found/battery/fitted, say: "2024-05-01"}
  - {when: found/battery, say: plate}
  - {when: "found/*/reason", say: no plate}
  - {when: "found/*", say: cannot be known}
`

const afterAlarmAnswers = `answers:
  - {when: told/event/*, say: at night}
  - {when: extent, say: "2.2, 2.1"}
  - {when: extent/others, say: leave them out}
  - {when: extent/reason, say: tested in May}
  - {when: told/cause/real, say: "false"}
  - {when: told/cause/false_alarms, say: "3"}
  - {when: told/cause/*, say: ""}
`

// What is found and told, and which detectors are concerned, is asked no second time after a
// break behind any of these entries, and the end is the same.
func TestResumingWhatIsFoundAndTold(t *testing.T) {
	for kind, answers := range map[programme.VisitKind]string{programme.TakeOver: takeOverAnswers,
		programme.AfterAlarm: afterAlarmAnswers} {
		t.Run(string(kind), func(t *testing.T) {
			answers := answers + visit.BenchAnswers[len("answers:\n"):]
			s, err := site.Read("site.yaml", []byte(visit.BenchSite))
			require.NoError(t, err)
			list, err := programme.ReadChecklist(programme.BuiltInChecklist(kind))
			require.NoError(t, err)
			path := filepath.Join(t.TempDir(), "journal.jsonl")
			var out bytes.Buffer
			v, err := visit.Start(simulatedConfig(t, s, answers, &out), path, record.Opened{Visit: kind, Number: "B-1/1",
				SiteName: "site.yaml", Site: visit.BenchSite, Programme: programme.OfKind(kind, s, list)})
			require.NoError(t, err)
			require.NoError(t, v.Run(context.Background()), out.String())
			require.NoError(t, v.Close())
			require.Empty(t, v.Record().Breaches())
			want := results(v.Record())
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			contents, err := journal.ReadFile(path)
			require.NoError(t, err)
			lines := bytes.SplitAfter(data, []byte("\n"))
			tried := 0
			for n, e := range contents.Entries {
				switch fact, _ := record.FactOf(e); f := fact.(type) {
				case record.Found, record.Extent:
				case record.PartAnswer:
					if f.Step[:4] != "told" && f.Step[:4] != "foun" && f.Step != programme.IDExtent {
						continue
					}
				default:
					continue
				}
				tried++
				t.Run(fmt.Sprintf("%d %s", n+1, e.Kind), func(t *testing.T) {
					t.Parallel()
					assert.Equal(t, want, resultsAfter(t, bytes.Join(lines[:n+1], nil), func(out *bytes.Buffer) visit.Config {
						return simulatedConfig(t, s, answers, out)
					}))
				})
			}
			assert.Greater(t, tried, 8)
		})
	}
}

// The detectors that are concerned come first, in the order of the site.
func TestConcernedComeFirst(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(visit.BenchSite))
	require.NoError(t, err)
	answers := "answers:\n  - {when: told/*, say: \"\"}\n  - {when: told/cause/real, say: failure}\n" +
		"  - {when: extent, say: \"2.2\"}\n  - {when: extent/others, say: test them too}\n" +
		visit.BenchAnswers[len("answers:\n"):]
	answers = "answers:\n  - {when: told/cause/real, say: failure}\n" + answers[len("answers:\n"):]
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.AfterAlarm))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	var out bytes.Buffer
	v, err := visit.Start(simulatedConfig(t, s, answers, &out), path, record.Opened{Visit: programme.AfterAlarm,
		Number: "B-1/1", SiteName: "site.yaml", Site: visit.BenchSite,
		Programme: programme.OfKind(programme.AfterAlarm, s, list)})
	require.NoError(t, err)
	require.NoError(t, v.Run(context.Background()), out.String())
	require.NoError(t, v.Close())
	contents, err := journal.ReadFile(path)
	require.NoError(t, err)
	for _, e := range contents.Entries {
		fact, err := record.FactOf(e)
		require.NoError(t, err)
		if a, is := fact.(record.Answer); is && len(a.Step) > 5 && a.Step[:5] == "walk/" {
			assert.Equal(t, "walk/2.2", a.Step, "BenchAnswers skip it; it comes first")
			return
		}
		if c, is := fact.(record.Cue); is {
			assert.Equal(t, "walk/2.2", c.Step)
			return
		}
	}
	assert.Fail(t, "nothing was operated")
}
