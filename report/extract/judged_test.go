package extract

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A visit gives its findings, limitations, computed rows and result out with their codes,
// also while it is not finished, and beside them the judgement in no language.
func TestCodesOfAnUnfinishedVisit(t *testing.T) {
	for _, entries := range []int{0, 1, 40, 100} {
		data := fromFolder(t, entries)
		assert.Equal(t, data.Visit.Result, string(data.Judged.Result))
		assert.NotEmpty(t, data.Visit.Result)
		require.Len(t, data.Judged.Limitations, len(data.Limitations))
		require.NotEmpty(t, data.Limitations)
		for i, f := range data.Limitations {
			var says struct{ Code string }
			require.NoError(t, json.Unmarshal(data.Judged.Limitations[i].Says, &says))
			assert.NotEmpty(t, f.Code)
			assert.Equal(t, f.Code, says.Code)
		}
		require.Len(t, data.Judged.Findings, len(data.Findings))
		require.Len(t, data.Judged.Computed, len(data.Computed))
		for i, row := range data.Computed {
			assert.NotEmpty(t, row.Code)
			assert.Equal(t, row.Code, data.Judged.Computed[i].Code)
			assert.Equal(t, row.Verdict, string(data.Judged.Computed[i].Verdict))
		}
		assert.False(t, data.Visit.TimeSimulated, "this journal is of before that was told")
	}
}
