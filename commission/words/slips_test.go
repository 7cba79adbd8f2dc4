package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

// What is undertaken is said with what was left out left out; what was typed as typed.
func TestWhatIsUndertakenIsSaid(t *testing.T) {
	of := func(u record.Undertaken) string { return English{}.Say(ask.UndertakenSo{ID: "F2", Undertaken: u}) }
	assert.Equal(t, "F2 to do: put right, and tested again, by 2026-12-01, Bea",
		of(record.Undertaken{Action: record.PutRight, By: "2026-12-01", Who: "Bea"}))
	assert.Equal(t, "F2 to do: “new cable”", of(record.Undertaken{Action: "new cable"}))
	assert.Equal(t, "F2 to do: not said what, Bea", of(record.Undertaken{Who: "Bea"}))
	for _, u := range []ask.Undertaking{ask.WhatUndertaking, ask.DayUndertaking, ask.WhoUndertaking,
		ask.LimitationsUndertaking} {
		assert.NotEmpty(t, English{}.Say(ask.ToUndertake{Ask: u}))
	}
}
