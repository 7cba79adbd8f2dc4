package site_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// The calendar is looked up in no table: the days of months and leap years are from memory, the rule at
// the end of a month is ours (common practice, no source).
func TestIntervalByTheCalendar(t *testing.T) {
	for _, c := range []struct{ every, from, due string }{
		{"6 months", "2026-11-26", "2027-05-26"},
		{"6 months", "2026-08-31", "2027-02-28"}, // the last day of a shorter month
		{"6 months", "2027-08-31", "2028-02-29"}, // of a leap year
		{"1 month", "2028-01-29", "2028-02-29"},
		{"1 month", "2027-01-30", "2027-02-28"},
		{"1 month", "2027-02-28", "2027-03-28"}, // not the last of March
		{"1 year", "2028-02-29", "2029-02-28"},
		{"4 years", "2028-02-29", "2032-02-29"},
		{"12months", "2026-12-31", "2027-12-31"},
		{"26 weeks", "2026-11-26", "2027-05-27"},
		{"90 days", "2027-01-01", "2027-04-01"},
		{"180 d", "2027-12-31", "2028-06-28"},
		{"48 h", "2027-12-31", "2028-01-02"},
	} {
		i, err := site.ParseInterval(c.every)
		require.NoError(t, err, c.every)
		from, err := time.ParseInLocation(time.DateOnly+" 15:04", c.from+" 23:59", time.FixedZone("", -11*3600))
		require.NoError(t, err)
		assert.Equal(t, c.due, i.After(from).Format(time.DateOnly), "%s from %s", c.every, c.from)
	}
}

func TestNoInterval(t *testing.T) {
	for _, text := range []string{"0 months", "-1 year", "6", "half a year", "36 h", "90 min", "11 years", "9999 weeks",
		"6 Months", "1.5 years", "999999999999 d", "6 months or so"} {
		_, err := site.ParseInterval(text)
		assert.ErrorIs(t, err, checks.ErrQuantity, text)
	}
	assert.False(t, site.Interval{}.Given())
}
