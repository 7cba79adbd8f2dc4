package site

import (
	"fmt"
	"regexp"
	"strconv"
	"time"

	"loopwitness/checks"
)

// Maintenance is how often the system is maintained, as it was agreed. None tells that the
// file says that nothing was agreed.
type Maintenance struct {
	Interval Interval
	None     bool
	// Sample is which share of the detectors a maintenance visit takes, above 0 and up to
	// 1; not given: all of them.
	Sample       checks.Quantity
	SampleSource string // who says so, as typed
}

// Interval is a time by the calendar: whole months, or whole days; the zero Interval is none.
type Interval struct {
	Text         string // as typed
	Months, Days int
}

// Given tells whether there is one.
func (i Interval) Given() bool { return i.Months > 0 || i.Days > 0 }

// After is the day an interval after another. Months count from the day of the month: the
// same day, or the last of a month that has no such day (31 August and six months: 28 or
// 29 February). It is counted from the visit each time, so that a short month moves no
// later day.
func (i Interval) After(day time.Time) time.Time {
	y, m, d := day.Date()
	if i.Months == 0 {
		return time.Date(y, m, d+i.Days, 0, 0, 0, 0, time.UTC)
	}
	first := time.Date(y, m+time.Month(i.Months), 1, 0, 0, 0, 0, time.UTC)
	last := first.AddDate(0, 1, -1).Day()
	return first.AddDate(0, 0, min(d, last)-1)
}

const (
	// mostYears bounds an interval: no system is left alone for longer by agreement.
	mostYears = 10
	aDay      = 24 * time.Hour
)

var calendar = regexp.MustCompile(`^([1-9][0-9]{0,3}) ?(day|week|month|year)s?$`)

// ParseInterval reads "6 months", "1 year", "26 weeks", "90 days", or a time of whole days
// ("180 d"). Errors wrap checks.ErrQuantity.
func ParseInterval(text string) (Interval, error) {
	i := Interval{Text: text}
	if m := calendar.FindStringSubmatch(text); m != nil {
		n, _ := strconv.Atoi(m[1]) // four digits
		switch m[2] {
		case "day":
			i.Days = n
		case "week":
			i.Days = 7 * n
		case "month":
			i.Months = n
		case "year":
			i.Months = 12 * n
		}
	} else {
		q, err := checks.Time.Parse(text)
		if err != nil {
			return Interval{}, err
		}
		days := q.Duration() / aDay
		if days < 1 || q.Duration() != days*aDay || days > 366*mostYears {
			return Interval{}, fmt.Errorf("%w: %q is no number of whole days", checks.ErrQuantity, text)
		}
		i.Days = int(days)
	}
	if i.Months > 12*mostYears || i.Days > 366*mostYears {
		return Interval{}, fmt.Errorf("%w: %q is longer than %d years", checks.ErrQuantity, text, mostYears)
	}
	return i, nil
}

func (r *reader) maintenance(top section) {
	f := r.section(top, "maintenance")
	r.site.Maintenance.Sample, r.site.Maintenance.SampleSource = r.quantity(f, "sample"), f.Text("sample_source")
	text := f.Text("interval")
	switch text {
	case "":
		return
	case None:
		r.site.Maintenance.None = true
		return
	}
	i, err := ParseInterval(text)
	if err != nil {
		r.Problem(f.Node("interval"), fmt.Sprintf("%q: %s", "interval", reason(err)),
			"for example 6 months, 1 year, 26 weeks, or none")
	}
	r.site.Maintenance.Interval = i
}

func (m Maintenance) text() string {
	if m.None {
		return None
	}
	return m.Interval.Text
}
