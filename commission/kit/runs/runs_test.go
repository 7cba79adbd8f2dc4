package runs_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/kit/runs"
)

func TestShort(t *testing.T) {
	for all, want := range map[string]string{
		"": "", "F1": "F1", "F1 F2": "F1 F2", "F1 F2 F3": "F1–F3", "1 3 4 7 8 9 10": "1 3 4 7–10",
		"F1 F2 F3 F4 F6 L1 L2 L3": "F1–F4 F6 L1–L3", "F9 L10": "F9 L10", "1.1 1.3 1.4 1.5": "1.1 1.3–1.5", "9 10 11 9": "9–11 9",
		"5.1 5.2 5.3 6.1 6.2": "5.1–5.3 6.1 6.2",
		"5.9 6.10 6.11":       "5.9 6.10 6.11",
		"F F1 x":              "F F1 x",
		"99999999999999999999 100000000000000000000 1": "99999999999999999999 100000000000000000000 1",
		"9223372036854775807 -9223372036854775808 x":   "9223372036854775807 -9223372036854775808 x",
		"0 1 2": "0–2",
	} {
		assert.Equal(t, want, strings.Join(runs.Short(strings.Fields(all)), " "))
	}
	assert.Equal(t, []string{"", "F1"}, runs.Short([]string{"", "F1"}))
}
