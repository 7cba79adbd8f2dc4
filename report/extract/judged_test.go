package extract

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"loopwitness/commission/dryrun"
)

// compiled is our schema, read by a validator that is not ours.
func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	schema, err := Schema()
	require.NoError(t, err)
	parsed, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema))
	require.NoError(t, err)
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	require.NoError(t, compiler.AddResource("record.json", parsed))
	out, err := compiler.Compile("record.json")
	require.NoError(t, err)
	return out
}

// Whatever visit, finished or broken off, follows the schema, and gives its findings,
// limitations, computed rows and result out with their codes; beside them stands the
// judgement in no language, which says the same.
func TestAnyVisitFollowsTheSchema(t *testing.T) {
	schema := compiled(t)
	results := map[string]bool{}
	rapid.Check(t, func(t *rapid.T) {
		v := dryrun.Draw(t)
		ends := []string{"", "walk/1.1/ready", "supply/path", "hand-over/*"}
		if step := rapid.SampledFrom(ends).Draw(t, "ends at"); step != "" {
			v.Answers = bytes.Replace(v.Answers, []byte("answers:\n"),
				[]byte("answers:\n  - {when: "+step+", say: nonsense}\n"), 1)
		}
		a, err := v.Run(t.Context())
		require.NotNil(t, a, err)
		data := From(a, "0", "test")
		text, err := json.Marshal(data)
		require.NoError(t, err)
		value, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		require.NoError(t, err)
		require.NoError(t, schema.Validate(value))
		results[data.Visit.Result] = true

		assert.True(t, data.Visit.TimeSimulated)
		assert.Equal(t, data.Visit.Result, string(data.Judged.Result))
		assert.Len(t, data.Judged.Findings, len(data.Findings))
		require.Len(t, data.Judged.Limitations, len(data.Limitations))
		for i, f := range data.Limitations {
			var says struct{ Code string }
			require.NoError(t, json.Unmarshal(data.Judged.Limitations[i].Says, &says))
			assert.Equal(t, f.Code, says.Code)
			assert.Equal(t, f.Severity, string(data.Judged.Limitations[i].Severity))
		}
		require.Len(t, data.Judged.Computed, len(data.Computed))
		for i, row := range data.Computed {
			assert.Equal(t, row.Code, data.Judged.Computed[i].Code)
			assert.Equal(t, row.Verdict, string(data.Judged.Computed[i].Verdict))
		}
	})
	assert.True(t, results["not finished"] && results["unsatisfactory"], results)
}
