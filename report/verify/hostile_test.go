//go:build linux

package verify

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
)

// checkHere makes the test binary check a file, in a process whose memory can be measured.
const checkHere = "LOOPWITNESS_TEST_CHECK"

func TestMain(m *testing.M) {
	if path := os.Getenv(checkHere); path != "" {
		file, err := os.ReadFile(path)
		if err != nil {
			panic(err)
		}
		out, err := json.Marshal(Check("c.pdf", file, Options{}))
		if err != nil {
			panic(err)
		}
		fmt.Printf("%s", out)
		// What getrusage tells as the most that was resident counts the parent's, too.
		status, _ := os.ReadFile("/proc/self/status")
		fmt.Fprintf(os.Stderr, "%s", status)
		return
	}
	os.Exit(m.Run())
}

// spent is what a check of a file took.
type spent struct {
	report  Report
	time    time.Duration // of processors
	memory  int64         // bytes, the most that was resident; 0 where that cannot be told
	printed int           // bytes of the report
}

// checkApart checks a file in a process of its own.
func checkApart(t testing.TB, file []byte) spent {
	t.Helper()
	path := filepath.Join(t.TempDir(), "hostile.pdf")
	require.NoError(t, os.WriteFile(path, file, 0o600))
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), checkHere+"="+path)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	require.NoError(t, err, errs.String())
	s := spent{time: cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(), printed: len(out)}
	if peak := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindStringSubmatch(errs.String()); peak != nil {
		kilobytes, err := strconv.ParseInt(peak[1], 10, 64)
		require.NoError(t, err)
		s.memory = kilobytes << 10
	}
	require.NoError(t, json.Unmarshal(out, &s.report))
	return s
}

// writing is a journal that somebody writes by hand.
type writing struct {
	t testing.TB
	bytes.Buffer
	entries, run int
	now, begun   time.Time
	head         string
	steps        []programme.Step
	pictures     []seal.Attachment
}

// begun is the beginning of a visit to a site.
func begun(t testing.TB, text string) *writing {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(text))
	require.NoError(t, err)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	w := &writing{t: t, now: made.Add(-time.Hour), steps: programme.Of(s, list), head: strings.Repeat("0", 64)}
	w.again()
	w.add(record.Opened{Tool: "bench", Visit: programme.Handover, Number: "L/1", SiteName: "site.yaml", Site: text,
		Programme: w.steps}, signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7},
		signal.Connection{Up: true})
	return w
}

// again begins another run.
func (w *writing) again() { w.run, w.begun = w.run+1, w.now }

// add writes entries as commission/journal describes them.
func (w *writing) add(facts ...record.Fact) {
	w.t.Helper()
	for _, f := range facts {
		w.entries++
		var b bytes.Buffer
		enc := json.NewEncoder(&b)
		enc.SetEscapeHTML(false)
		format := 0
		if w.entries == 1 {
			format = journal.Format
		}
		require.NoError(w.t, enc.Encode(struct {
			Format int         `json:"format,omitempty"`
			N      int         `json:"n"`
			At     string      `json:"at"`
			Run    int         `json:"run"`
			NS     int64       `json:"ns"`
			Kind   string      `json:"kind"`
			Body   record.Fact `json:"body"`
			Prev   string      `json:"prev"`
		}{format, w.entries, w.now.Format("2006-01-02T15:04:05.000000000Z"), w.run, w.now.Sub(w.begun).Nanoseconds(),
			f.Kind(), f, w.head}))
		w.head = evidence.Digest(bytes.TrimSuffix(b.Bytes(), []byte("\n")))
		w.Write(b.Bytes())
		w.now = w.now.Add(time.Millisecond)
	}
}

const siteHead = "reference: L\npremises: {name: a, address: b}\ninstaller: {company: c}\n" +
	"controller: {description: d}\nsupply: {battery: {chemistry: none}}\nzones:\n"

// siteOf is a site of so many zones, each with detectors of these names.
func siteOf(zones int, detectors ...string) string {
	var b strings.Builder
	b.WriteString(siteHead)
	for z := 1; z <= zones; z++ {
		fmt.Fprintf(&b, "  - {number: %d, name: z, kind: window, wiring: normally closed, address: z%[1]d, detectors: [%s]}\n",
			z, strings.Join(detectors, ","))
	}
	return b.String()
}

// forged is a certificate of that record, signed with its forger's key. Its pages and what
// it states are those of another visit, which costs its forger nothing.
func forged(t testing.TB, raw []byte, change func(*evidence.Statement, *seal.Contents)) []byte {
	t.Helper()
	id := newIdentity(t, "x")
	return forgedBy(t, id, raw, change)
}

func forgedBy(t testing.TB, id *identity.Identity, raw []byte, change func(*evidence.Statement, *seal.Contents)) []byte {
	t.Helper()
	c := makeFrom(t, recorded(t), by(id))
	s, out := c.Statement, c.Contents
	out.Attachments = slices.Clone(out.Attachments)
	s.Journal = evidence.Journal{SHA256: evidence.Digest(raw), Entries: bytes.Count(raw, []byte("\n"))}
	s.Journal.Marks = strings.Repeat("0", 8*s.Journal.Entries)
	change(&s, &out)
	for i, a := range out.Attachments {
		switch a.Name {
		case seal.JournalName:
			out.Attachments[i].Content = raw
		case seal.StatementName:
			encoded, err := s.Encode()
			require.NoError(t, err)
			out.Attachments[i].Content = encoded
		}
	}
	return sealed(t, out, id)
}

func asItIs(*evidence.Statement, *seal.Contents) {}

// names are so many short names.
func names(n int) []string { return slices.Repeat([]string{"a"}, n) }
