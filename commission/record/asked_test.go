package record

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What the job itself found is outstanding until a visit of the job took it in: a certificate of
// another company, which knows nothing of it, ends nothing.
func TestACertificateOfOthersEndsNothing(t *testing.T) {
	visit := func(year int, result, certificate string, finding ...string) Earlier {
		e := earlierVisit()
		e.Begun, e.Ended = e.Begun.AddDate(year-2025, 0, 0), e.Ended.AddDate(year-2025, 0, 0)
		e.Number, e.Result, e.Certificate, e.Outstanding = "T-1/"+e.Begun.Format("2006"), result, certificate, nil
		for _, id := range finding {
			e.Outstanding = append(e.Outstanding, Outstanding{ID: id, Severity: "fault", Steps: []string{"inspection/x"},
				Said: []byte(`{"code":"not-so"}`)})
		}
		return e
	}
	others := strings.Repeat("2", 64)
	for name, c := range map[string]struct {
		earlier []Earlier
		want    []string
	}{
		"ours, then others'": {[]Earlier{visit(2024, "unsatisfactory", "", "F1"),
			visit(2025, "satisfactory", others, "L1")}, []string{"2024/F1", "2025/L1"}},
		"others', then ours": {[]Earlier{visit(2024, "unsatisfactory", others, "F1"),
			visit(2025, "satisfactory", "", "L1")}, []string{"2024/F1", "2025/L1"}},
		"ours, then ours": {[]Earlier{visit(2024, "unsatisfactory", "", "F1"),
			visit(2025, "satisfactory", "", "L1")}, []string{"2025/L1"}},
		"ours, then one broken off": {[]Earlier{visit(2024, "unsatisfactory", "", "F1"),
			visit(2025, "not finished", "")}, []string{"2024/F1"}},
		"ours, others' is broken off": {[]Earlier{visit(2024, "satisfactory", "", "L1"),
			visit(2025, "not finished", others)}, []string{"2024/L1"}},
		"none of ours": {[]Earlier{visit(2024, "unsatisfactory", others, "F1")}, []string{"2024/F1"}},
		"none":         {nil, nil},
	} {
		var got []string
		for _, carried := range CarriedOn(c.earlier) {
			got = append(got, strings.TrimPrefix(carried.Step, "outstanding/"))
		}
		assert.Equal(t, c.want, got, name)
	}
}
