package extract

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
)

// A value above what an instrument shows, one that is open, and none.
func TestOhms(t *testing.T) {
	for want, v := range map[string]*checks.CableValue{
		`{"text":"\u003e 200 Mohm","value_ohm":200000000,"above":true}`: {Text: "> 200 Mohm", Ohm: 2e8, Above: true},
		`{"text":"open","open":true}`:                                   {Text: "open", Open: true},
		`{"text":"0 ohm","value_ohm":0}`:                                {Text: "0 ohm"},
		`null`:                                                          nil,
	} {
		text, err := json.Marshal(ohmsOf(v))
		require.NoError(t, err)
		assert.Equal(t, want, string(text))
	}
}
