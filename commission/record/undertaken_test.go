package record

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
)

var loose, bridged = json.RawMessage(`{"code":"loose"}`), json.RawMessage(`{"code":"bridged"}`)

// The last that is undertaken about a finding stands.
func TestWhatIsUndertaken(t *testing.T) {
	assert.Empty(t, recordOf(t).Undertakings())
	first := Undertaken{Said: loose, Action: PutRight, By: "2026-12-01", Who: "Ignace"}
	other := Undertaken{Said: bridged, Who: "Bea"}
	again := Undertaken{Said: loose, By: "2026-12-02"}
	minute := time.Minute
	r := recordOf(t, first, minute, other, minute, again)
	require.Len(t, r.Undertakings(), 2)
	assert.Equal(t, other, r.Undertakings()[0].Undertaken)
	assert.Equal(t, again, r.Undertakings()[1].Undertaken)
	assert.Equal(t, at(2*minute), r.Undertakings()[1].At)
	r.Undertakings()[0].Said[2] = 'x'
	assert.Equal(t, other, r.Undertakings()[0].Undertaken, "whoever reads it cannot change it")
	for _, u := range []Undertaken{{Said: loose, Action: "new contact"}, {Said: loose, By: "2026-12-01"},
		{Said: loose, Who: "Bea"}} {
		assert.Len(t, recordOf(t, u).Undertakings(), 1)
	}
}

func TestNothingIsUndertaken(t *testing.T) {
	for says, u := range map[string]Undertaken{
		"nothing is undertaken":            {Said: loose},
		"about no finding":                 {Said: json.RawMessage(`"loose"`), Who: "Bea"},
		"something is undertaken about no": {Said: json.RawMessage(`null`), Who: "Bea"},
		`"tomorrow" is no day`:             {Said: loose, By: "tomorrow"},
		`"2026-12-32" is no day`:           {Said: loose, By: "2026-12-32", Who: "Bea"},
	} {
		refuses(t, says, u)
	}
	_, err := told(t, openedHonestly(t, without(programme.StageSignOff)), Undertaken{Said: loose, Who: "Bea"})
	assert.ErrorContains(t, err, "nobody signs")
}

// Who has signed has not seen what is undertaken afterwards.
func TestWhatIsUndertakenLetsNamesLapse(t *testing.T) {
	r := recordOf(t, technician, customer, Undertaken{Said: loose, Who: "Bea"})
	assert.True(t, r.Lapsed())
	assert.Nil(t, r.Customer())
	assert.False(t, recordOf(t, Undertaken{Said: loose, Who: "Bea"}, technician).Lapsed())
	assert.Equal(t, "action/put-right", PutRight.Code())
}
