package visit

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// after makes a visit a maintenance visit after one that left something: see
// testdata/README.md.
func after(t *testing.T, opened record.Opened, s *site.Site, left string) record.Opened {
	at := time.Date(2025, 11, 24, 9, 0, 0, 0, time.UTC)
	then := record.Earlier{Visit: programme.Handover, Number: "B-1/2025-11-24-handover", Journal: strings.Repeat("1", 64),
		Company: "Bellbird", Begun: at, Ended: at,
		Result: "unsatisfactory", Rules: 1}
	for line := range strings.Lines(left) {
		fields := strings.Fields(line)
		require.GreaterOrEqual(t, len(fields), 3, line)
		then.Outstanding = append(then.Outstanding, record.Outstanding{ID: fields[0], Severity: fields[1], Step: fields[2],
			Steps: fields[2:], Said: []byte(`{"code":"not-measured","subject":{"part":"supply"},"with":{}}`)})
	}
	opened.Visit, opened.Earlier = programme.Maintenance, []record.Earlier{then}
	opened.Programme = opened.Completed(s, opened.Programme, nil)
	return opened
}
