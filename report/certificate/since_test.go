package certificate

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// after is the pottery's visit as one that took in so many earlier ones, a year apart: one
// detector got slower from each to the next, and the battery weaker.
func after(t testing.TB, visits int, change func(n int, e *record.Earlier)) *judge.Assessment {
	t.Helper()
	contents, err := journal.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	entries := contents.Entries
	r, err := record.Fold(entries)
	require.NoError(t, err)
	opened := r.Opened()
	for n := visits; n > 0; n-- {
		e := judge.Assess(r).Remembered(fmt.Sprintf("%064x", 4096*n))
		e.Begun, e.Ended, e.Site = e.Begun.AddDate(-n, 0, 0), e.Ended.AddDate(-n, 0, 0), ""
		e.Number = fmt.Sprintf("PS-0042/%s-maintenance", e.Begun.Format(time.DateOnly))
		for i := range e.Detectors {
			d := &e.Detectors[i]
			if d.Point == "1.1" && d.Response > 0 {
				d.Response -= time.Duration(n) * 120 * time.Millisecond
			} else if d.Response > 0 {
				d.Response += time.Duration(30*((i+n)%3)-30) * time.Millisecond
			}
		}
		for i := range e.Readings {
			if e.Readings[i].Quantity == record.VoltageReading && e.Readings[i].AfterSeconds > 0 {
				e.Readings[i].Value += 0.06 * float64(n)
			}
		}
		if change != nil {
			change(n, &e)
		}
		opened.Earlier = append(opened.Earlier, e)
	}
	opened.Visit = programme.Maintenance
	body, err := json.Marshal(opened)
	require.NoError(t, err)
	changed := append([]journal.Entry(nil), entries...)
	changed[0].Body = body
	r, err = record.Fold(changed)
	require.NoError(t, err)
	return judge.Assess(r)
}

func sinceOf(t testing.TB, a *judge.Assessment) (Document, string) {
	t.Helper()
	d := Write(a, Options{Language: words.English{}, Revision: 1, Tool: "loopwitness test",
		Journal: strings.Repeat("0123456789abcdef", 4)})
	for _, s := range d.Sections {
		if strings.HasPrefix(s.Title, "Since the last visit") {
			var b strings.Builder
			for _, block := range s.Blocks {
				writeBlock(func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }, block)
			}
			return d, s.Title + "\n" + b.String()
		}
	}
	return d, ""
}

// Five visits, one detector slower and a battery weaker at each: what a page tells of them.
func TestSinceTheLastVisit(t *testing.T) {
	d, text := sinceOf(t, after(t, 5, nil))
	for _, want := range []string{
		"Since the last visit, 26 November 2025", "0000 0000 0000 0000",
		"1.1 | Shop door contact | response | 0.60 s | 0.72 s | +0.12 | 0.29 | slower, trend",
		"Supply voltage, mains removed for 10 min | 12.81 V | 12.75 V | −0.06 | 0.14 | worse, trend",
		"Supply voltage, mains present | 13.66 V | 13.66 V | 0.00 | 0.03 | none shown",
		"No difference is shown for these (then → now, in s): 1.1 restored 0.58 → 0.58; 2.1 ",
		"Not compared: 9.1: it was not timed this time.",
		"1.1 Shop door contact, response: +0.12 s a year (Theil–Sen, 6 visits",
		"It falls by a trend over several visits", "−0.06 V a year", "Holm's test", "1.8 would be shown by chance",
		"The next visit is taken to be due 26 November 2027.",
	} {
		assert.Contains(t, text, want)
	}
	whole := d.PlainText()
	assert.NotContains(t, whole, "now 12.75 V: a trend", "20 years from its limit: told, and no limitation")
	assert.NotContains(
		t,
		whole,
		"response 0.12 s on 26 November 2021",
		"far from its limit of 2 s: told, and no limitation",
	)
	var stated []string
	for _, s := range d.Stated() {
		stated = append(stated, s.Text)
	}
	assert.Contains(t, strings.Join(stated, "\n"), "0.60 → 0.72 s")
	pdf, err := Render(d, made)
	require.NoError(t, err)
	if to := os.Getenv("LOOPWITNESS_SINCE"); to != "" { // to be looked at
		require.NoError(t, os.WriteFile(to, pdf, 0o600))
	}
}

func TestSinceOfNoVisit(t *testing.T) {
	_, text := sinceOf(t, potteryAssessment(t))
	assert.Empty(t, text)
	_, text = sinceOf(t, after(t, 1, func(_ int, e *record.Earlier) { e.Simulated = false }))
	assert.Contains(t, text, "Nothing of the earlier visits can be compared with this one.")
	assert.Contains(t, text, "Not compared: one of the two visits was practice.")
	assert.NotContains(t, text, "Holm")
}

// Three visits claim no trend.
func TestSinceThreeVisits(t *testing.T) {
	_, text := sinceOf(t, after(t, 2, nil))
	assert.Contains(t, text, "Three visits show no trend, and none is claimed.")
	assert.NotContains(t, text, "a year (Theil")
}

// What another program wrote of an earlier visit is shown as it may be shown.
func TestSinceOfAStrangeVisit(t *testing.T) {
	d, text := sinceOf(t, after(t, 7, func(n int, e *record.Earlier) {
		e.Technician = strings.Repeat("w", 150)
		e.Detectors[0].Response = time.Hour
		e.Readings[0].Value = 1e300
	}))
	assert.Contains(t, text, "1 further visit before them.")
	_, err := Render(d, made)
	require.NoError(t, err)
}

// Three hundred detectors take a few pages, also if every one of them changed.
func TestSinceOfManyDetectors(t *testing.T) {
	a := potteryAssessment(t)
	for name, change := range map[string]judge.Change{"alike": judge.NoChange, "slower": judge.WorseByStep} {
		w := writer{a, a.Record(), Options{Language: words.English{}}}
		var lines []judge.SinceLine
		for i := range 300 {
			for _, of := range []judge.Measure{judge.ResponseSince, judge.RestoredSince} {
				at := judge.SinceWhen{At: made, Value: 1 + float64(i)/100, Expanded: 0.2}
				lines = append(lines, judge.SinceLine{Of: of, Unit: "s", Detector: &programme.DetectorName{
					Point: site.Point(fmt.Sprintf("%d.1", i+1)), Name: "Door to the kiln room"}, Limit: &site.Limit{SI: 5},
					Points: []judge.SinceWhen{at, at}, Two: &judge.SinceTwo{}, Change: change})
			}
		}
		d := pottery(t)
		d.Sections = []Section{{Title: "x", Blocks: append(w.detectorsSince(lines), w.thenNow(lines))}}
		sheets := paginate(d)
		assert.LessOrEqual(t, len(sheets), 5, name)
		for _, s := range sheets {
			for _, p := range s {
				assert.LessOrEqual(t, p.height, A4.usable(), name)
			}
		}
	}
}

// What is drawn stays in its box, whatever the values: all places of the operators lie on the
// page, within its margins.
func TestChartsStayInTheirBox(t *testing.T) {
	for name, pts := range map[string][]ChartPoint{
		"usual":    {{0, 12.8, 0.05}, {5, 12.7, 0.05}, {10, 12.6, 0.05}},
		"alike":    {{0, 12, 0}, {1, 12, 0}},
		"far away": {{0, 1e300, 1}, {1, -1e300, 1}},
		"one":      {{3, 3, 1}},
	} {
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range pts {
			low, high = min(low, p.Y), max(high, p.Y)
		}
		axis := axisOver("V", low, high, func(v float64) string { return fmt.Sprint(v) })
		assert.LessOrEqual(t, len(axis.Ticks), 12, name)
		c := Chart{X: axisOver("min", 0, 10, func(v float64) string { return fmt.Sprint(v) }), Y: axis,
			Lines: []Line{{Name: "now", Points: pts, Mark: Dot, Joined: true}, {Points: pts, Mark: Ring, Joined: true,
				Dash: Dashed}}}
		p := layCharts(Charts{c, c}).parts[0]
		for _, v := range p.vectors {
			for _, place := range regexp.MustCompile(`(-?[\d.]+) (-?[\d.]+) [mlc]\n`).FindAllStringSubmatch(string(v.operators(A4, 0)), -1) {
				x, _ := strconv.ParseFloat(place[1], 64)
				y, _ := strconv.ParseFloat(place[2], 64)
				assert.GreaterOrEqual(t, x*mmPerPoint, A4.margin()-2, name)
				assert.LessOrEqual(t, x*mmPerPoint, A4.margin()+body+2, name)
				assert.GreaterOrEqual(t, y*mmPerPoint, 297-marginTop-p.height, name)
				assert.LessOrEqual(t, y*mmPerPoint, 297-marginTop, name)
			}
		}
	}
}

// A chart below the head of a part made of two is drawn that much lower.
func TestVectorsMoveWithTheirPart(t *testing.T) {
	b := newPart(10)
	b.path([]place{{0, 0}, {10, 10}}, 1, ink, Solid)
	alone, below := string(b.vectors[0].operators(A4, 7)), string(stack(newPart(5), b).vectors[0].operators(A4, 2))
	assert.Equal(t, alone, below)
}
