package certificate

import (
	"fmt"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/judge"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
)

// summaryOf is page one alone.
func summaryOf(a *judge.Assessment, l words.Language) Document {
	return Write(a, Options{Language: l, Revision: 3, Summary: true, Tool: "loopwitness test",
		Journal:  strings.Repeat("0123456789abcdef", 4),
		SealedBy: Sealer{Kind: KeyHolder, Name: "Bellbird Alarm Services", Fingerprint: strings.Repeat("fedc", 16)}})
}

// crowded is page one with so many findings, and with every text as long as somebody may type it.
func crowded(t testing.TB, findings int, long string) Document {
	d := summaryOf(potteryAssessment(t), words.English{})
	d.Dangers = []string{"DANGER, act now: " + long, "DANGER, act now: " + long, "DANGER: " + long, "DANGER: " + long}
	d.Notices = []string{"SIMULATED: practice, no evidence of any installation", "unsigned"}
	d.Installer, d.Number, d.Subtitle = long, long, long
	d.Banner.Tone, d.Banner.Sign, d.Banner.Word = Bad, FailedSign, "Unsatisfactory"
	for i := range d.Front.Facts {
		d.Front.Facts[i].Value, d.Front.Facts[i].Detail = long, long
	}
	d.Front.List.Rows, d.Front.List.All = nil, findings
	for i := range min(findings, frontRows) {
		d.Front.List.Rows = append(d.Front.List.Rows, FrontRow{Mark: fmt.Sprintf("F%d", i+1), Grade: "fault", Sign: FaultSign,
			Tone: Bad, About: long, Text: long, Then: long, Whom: long, Rest: fmt.Sprintf("And %d more.", findings-i-1)})
	}
	for len(d.Front.Alarm.Instants) < frontInstants {
		d.Front.Alarm.Instants = append(
			d.Front.Alarm.Instants,
			Instant{At: 60, Text: long, When: "+60.0 s", Sign: FailedSign},
		)
	}
	for i := range d.Front.Alarm.Instants {
		d.Front.Alarm.Instants[i].Text = long
	}
	for i := range d.Front.Supply.Rows {
		d.Front.Supply.Rows[i].Name, d.Front.Supply.Rows[i].Detail = long, long
	}
	for i := range d.Front.Premises.Pairs {
		d.Front.Premises.Pairs[i].Value = long
	}
	return d
}

// Page one is one page and never more, however much there is and however long; what has no room is counted on it.
func TestPageOneIsOnePage(t *testing.T) {
	for _, long := range []string{"short", strings.Repeat("a name that goes on ", 40), strings.Repeat("W", 900)} {
		for _, findings := range []int{0, 1, 2, 7, 40, 1000} {
			name := fmt.Sprintf("%d findings, %.8s", findings, long)
			d := crowded(t, findings, long)
			if findings == 0 {
				d.Front.List.None = "Nothing was found."
			}
			sheets := paginate(d)
			require.Len(t, sheets, 1, name)
			assert.LessOrEqual(t, heights(sheets[0]...), A4.usable()-footHeight+0.01, name)
			var said []string
			for _, p := range sheets[0] {
				said = append(said, wordsOf(p)...)
			}
			shown := 0
			for _, r := range d.Front.List.Rows {
				if slices.Contains(said, r.Mark) {
					shown++
				}
			}
			if findings > 0 {
				assert.Positive(t, shown, name)
			}
			if shown < findings {
				assert.Contains(t, said, fmt.Sprintf("And %d more.", findings-shown), name)
			}
			if long == "short" {
				assert.GreaterOrEqual(t, shown, min(findings, 5), name)
			}
		}
	}
}

// An outside reader counts one page of a summary, of visits of every kind, in every language; and each verdict, figure,
// heading and label of ours stands there whole: what is cut is a text about the premises or a finding's.
func TestSummaries(t *testing.T) {
	pdfinfo := outsidetool.Find(t, "pdfinfo")
	all := visits(t)
	all["unfinished"] = assessed(t, "unfinished")
	for name, a := range all {
		for _, l := range languages.All() {
			d := summaryOf(a, l)
			sheets := paginate(d)
			require.Len(t, sheets, 1, name)
			assert.LessOrEqual(t, heights(sheets[0]...), A4.usable()-footHeight+0.01, name)
			var may strings.Builder // be cut
			for _, p := range d.Front.Premises.Pairs {
				may.WriteString(p.Value + "\n")
			}
			for _, r := range d.Front.List.Rows {
				may.WriteString(strings.Join([]string{r.About, r.Text, "→ " + r.Then, r.Whom}, "\n") + "\n")
			}
			for _, p := range sheets[0] {
				for _, w := range wordsOf(p) {
					if cut, is := strings.CutSuffix(w, "…"); is && !strings.HasPrefix(w, "journal") {
						assert.True(t, strings.Contains(may.String(), cut) || strings.Contains(w, "fedc"), "%s, %s: %q is cut", name,
							l.Tag(), w)
					}
				}
			}
			assert.True(t, strings.HasSuffix(d.Number, "rev. 3 summary"), d.Number)
			assert.NotEmpty(t, d.Front.Summary)
		}
	}
	out, err := exec.Command(pdfinfo, render(t, summaryOf(all["whole"], words.English{}))).Output()
	require.NoError(t, err)
	assert.Regexp(t, `Pages:\s+1\n`, string(out))
}

// Who says so, since when and until when stands on page one.
func TestPageOneSaysWhoSaysSo(t *testing.T) {
	f := pottery(t).Front
	text := fmt.Sprint(f.Facts)
	for _, want := range []string{"Ignace Brûlé", "licence T-0881", "Bellbird Alarm Services", "key fedc fedc", "1 year after"} {
		assert.Contains(t, text, want)
	}
	assert.Regexp(t, `\d\d:\d\d to \d\d:\d\d`, f.Facts[3].Value)
	nobody := Write(assessed(t, "unfinished"), Options{Language: words.English{}}).Front.Facts
	assert.Equal(t, "nobody has signed yet", nobody[0].Value)
	assert.Equal(t, Fact{"sealed with the key of", "nobody", "unsigned: nothing shows who made it"}, nobody[2])
	var supply []string
	for _, r := range f.Supply.Rows {
		supply = append(supply, r.Name+": "+r.Value+": "+r.Verdict.Text)
	}
	assert.Equal(t, []string{"Mains present: 13.66 ± 0.02 V: passed", "10 min without mains: 12.75 ± 0.02 V: passed",
		"10 min without mains, with all outputs on: 12.68 ± 0.02 V: passed", "Standby, computed: 6.1 Ah of 7 Ah: passed",
		"Outputs: 3 of 3: passed"}, supply)
}

// The worst stands first, however many lines of a checklist failed before it was found.
func TestTheWorstStandsFirst(t *testing.T) {
	for name, a := range visits(t) {
		last := -1
		for _, f := range a.Findings() {
			at := slices.Index(judge.Severities, f.Severity())
			assert.GreaterOrEqual(t, at, last, name)
			last = at
		}
		if rows := Write(a, Options{Language: words.English{}}).Front.List.Rows; len(a.Findings()) > 0 {
			assert.Equal(t, "F1", rows[0].Mark, name)
		}
	}
}

// Instants are drawn to scale where each has room, and set apart where not, in their order.
func TestInstantsAreSetApart(t *testing.T) {
	at := func(seconds ...float64) (all []Instant) {
		for _, s := range seconds {
			all = append(all, Instant{At: s})
		}
		return all
	}
	places, scaled := spread(at(0, 10, 20, 30), body)
	assert.True(t, scaled)
	assert.InDelta(t, places[1]-places[0], places[3]-places[2], 1e-9)
	for _, piled := range [][]Instant{at(0, 0, 0, 0), at(0, 0.3, 0.7, 60, 60), at(0, 59, 59.5, 60)} {
		places, scaled = spread(piled, body)
		assert.False(t, scaled)
		for i := 1; i < len(places); i++ {
			assert.Greater(t, places[i]-places[i-1], 10.0)
		}
		assert.LessOrEqual(t, places[len(places)-1], body)
		assert.GreaterOrEqual(t, places[0], 0.0)
	}
}
