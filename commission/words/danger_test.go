package words_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/words"
)

// A danger by a number of cells that nobody declared may be none: that comes first.
func TestADangerByCellsThatNobodyDeclared(t *testing.T) {
	row := judge.ChargerRow{Chemistry: "lead-acid", Cells: 6, Volt: 27.3}
	sure := words.English{}.Computed(judge.Computed{Row: row, Ruling: checks.Fail, Danger: true})
	assert.Contains(t, sure.Change, "stop charging")
	assert.NotContains(t, sure.Change, "how many cells")
	unsure := words.English{}.Computed(judge.Computed{Row: row, Ruling: checks.Undecided, Danger: true})
	assert.Contains(t, unsure.Change, "say how many cells the battery has")
	assert.Contains(t, unsure.Change, "stop charging")
}
