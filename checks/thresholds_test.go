package checks

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What every row of the table needs; and the rule: nothing that we assume may alone
// cause a fail.
func TestThresholdsAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, row := range Thresholds() {
		assert.Contains(t, row.ID, "/")
		assert.False(t, seen[row.ID], "%s twice", row.ID)
		assert.Contains(t, []Known{LookedUp, FromMemory, CommonPractice}, row.Known, row.ID)
		assert.Contains(t, []May{MayHold, MayUndecide, MayFail}, row.May, row.ID)
		assert.Equal(t, row.Known == LookedUp, row.Source != "", "%s: a source if and only if it was looked up", row.ID)
		if row.Known != LookedUp {
			assert.NotEqual(t, MayFail, row.May, "%s: an assumption must not fail", row.ID)
		}
		assert.Equal(t, row.Value, threshold(row.ID))
		seen[row.ID] = true
	}
	assert.GreaterOrEqual(t, len(seen), 60)
	assert.Panics(t, func() { threshold("none/such") })
}

// The table cannot be changed from outside.
func TestThresholdsAreACopy(t *testing.T) {
	rows := Thresholds()
	before := rows[0].Value
	rows[0].Value++
	assert.Equal(t, before, Thresholds()[0].Value)
}

// Each row stands once more among the reference values: one that is looked up with a
// published value, another as what it is, so that none changes by a slip.
func TestThresholdsHaveAReference(t *testing.T) {
	known := map[string]bool{}
	for _, file := range []string{"thresholds", "assumed"} {
		f, err := os.Open("../testdata/reference/" + file + ".csv")
		require.NoError(t, err)
		defer f.Close()
		rows, err := csv.NewReader(f).ReadAll()
		require.NoError(t, err)
		for _, row := range rows {
			id, _ := strings.CutPrefix(strings.Split(row[1], ";")[0], "id=")
			known[id+" "+row[6]] = true
		}
	}
	for _, row := range Thresholds() {
		how, _, _ := strings.Cut(string(row.Known), ",") // that it has no source is said beside it
		assert.True(t, known[row.ID+" "+how], "%s", row.ID)
	}
}
