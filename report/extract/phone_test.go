package extract

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// What a phone did is told by the schema: touches with their bounds, what was not timed and
// why, the devices, and signatures in lines.
func TestDataOfAPhone(t *testing.T) {
	contents, err := journal.ReadFile("../../testdata/journals/roamed.jsonl")
	require.NoError(t, err)
	r, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	data := From(judge.Assess(r), "", "loopwitness test")
	of := map[string]Detector{}
	for _, d := range data.Detectors {
		of[d.Point] = d
	}
	reported, touched, told := of["1.1"], of["2.1"], of["8.1"]
	assert.Equal(t, "reported", reported.Verdict)
	assert.Equal(t, "no-touch", reported.NotTimed)
	assert.Nil(t, reported.ResponseSecond, "no nought in its place")
	assert.Nil(t, reported.UncertaintySecond)
	assert.True(t, reported.OwnOrder)
	assert.Equal(t, "clock-unknown", of["10.1"].NotTimed)
	assert.Empty(t, of["6.1"].NotTimed, "it was silent")
	require.NotNil(t, touched.Tap)
	assert.Equal(t, Tap{By: "touch", At: "2026-11-24T09:00:34Z", Device: touched.Tap.Device, OffsetLeast: 89.969,
		OffsetMost: 90.031}, *touched.Tap)
	assert.InDelta(t, 34-90, touched.Tap.Device, 1e-9)
	assert.Equal(t, "own-time", touched.RestoredNotTimed)
	assert.Nil(t, touched.RestoredSecond)
	assert.InDelta(t, 0.62, *touched.ResponseSecond, 1e-9)
	assert.Nil(t, told.Tap)
	assert.False(t, told.OwnOrder)
	assert.Equal(t, []string{"Bramble 7, 360 × 780"}, data.Visit.Devices)
	assert.Equal(t, 7, data.Visit.Cues.NotTimed)
	assert.InDelta(t, 0.031, *data.Visit.Cues.WidestSecond, 1e-9)
	require.Len(t, data.Names, 2)
	assert.Equal(t, "strokes", data.Names[0].DrawnAs)
	assert.Equal(t, r.Find("sign-off/technician").Signed().Strokes, data.Names[0].Strokes)

	schema, err := Schema()
	require.NoError(t, err)
	parsed, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema))
	require.NoError(t, err)
	compiler := jsonschema.NewCompiler()
	require.NoError(t, compiler.AddResource("record.json", parsed))
	compiled, err := compiler.Compile("record.json")
	require.NoError(t, err)
	raw, err := json.Marshal(data)
	require.NoError(t, err)
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	require.NoError(t, err)
	assert.NoError(t, compiled.Validate(value))
	var table bytes.Buffer
	require.NoError(t, data.WriteCSV(&table))
	assert.Contains(t, table.String(), "reported,not timed: no-touch")
}
