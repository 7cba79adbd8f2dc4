package record

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/programme"
)

// The visit of these stories is on 2026-11-24.
func TestDaysFitTheVisit(t *testing.T) {
	by := func(day string) []any {
		return []any{Undertaken{Said: json.RawMessage("{}"), Action: PutRight, By: day}}
	}
	until := func(day string) []any {
		return []any{Instrument{Step: programme.IDVoltmeter, Name: "M", Calibrated: day}}
	}
	holdsLaw(t, LawDays, []lawCase{
		{"by the day itself", by("2026-11-24"), false},
		{"by a day before", by("2026-11-23"), true},
		{"by a day that is far", by("2099-01-01"), false},
		{"by no day", by(""), false},
		{"calibrated long ago", until("2001-01-01"), false},
		{"calibrated for ten years", until("2036-11-24"), false},
		{"for a day more", until("2036-11-25"), true},
		{"not calibrated", until(""), false},
	})
	r := recordOf(t, append(by("2026-12-01"), until("2027-01-01")...)...)
	for _, typed := range r.Correctable() {
		c := Corrected{Entry: typed.Entry, Field: typed.Field, Reason: "a slip", By: "Bea"}
		for day, fits := range map[string]bool{"2026-11-23": typed.Field != DayField, "2036-11-25": typed.Field == DayField} {
			if typed.Field == DayField || typed.Field == CalibratedField {
				c.Text = day
				assert.Equal(t, fits, r.MayCorrect(c) == nil, "%s %s", typed.Field, day)
			}
		}
	}
}
