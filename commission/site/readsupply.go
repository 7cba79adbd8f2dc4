package site

import (
	"fmt"
	"time"

	"loopwitness/checks"
)

// Chemistries are those of batteries that a site file may name.
var Chemistries = []string{string(checks.LeadAcid), string(checks.LithiumIon), "lithium-iron-phosphate", None}

func (r *reader) supply(top section) {
	s := &r.site.Supply
	f := r.needed(top, "supply", "file")
	if !top.Has("supply") {
		return
	}
	a := r.section(f, "adapter")
	s.Adapter = Adapter{Voltage: r.quantity(a, "voltage"), Location: a.Text("location"), Fuse: a.Text("fuse"),
		Circuit: a.Text("circuit")}
	s.Adapter.Rating, s.Adapter.Apparent = r.rating(a)
	c := r.section(f, "charger")
	s.Charger = Charger{r.quantity(c, "voltage"), r.quantity(c, "current")}
	c = r.section(f, "recharge")
	s.Recharge = Recharge{r.quantity(c, "within"), r.quantity(c, "to"), c.Text("source")}
	if b := r.needed(f, "battery", "supply"); f.Has("battery") {
		s.Battery = r.battery(b)
	}
	t := r.section(f, "standby")
	s.Standby = Standby{r.quantity(t, "for"), r.quantity(t, "alarm_for"), r.quantity(t, "ageing"), t.Text("source")}
	r.loads(f)
	s.Temperature = r.quantity(f, "temperature")
	s.Hold = defaultHold
	if q := r.quantity(f, "hold"); q.Given() {
		s.Hold = q.Duration()
	}
	s.Readings = r.readings(f, s.Hold)
}

// rating reads what an adapter gives: A, or VA.
func (r *reader) rating(f section) (ampere, apparent checks.Quantity) {
	text := f.Text("rating")
	if text == "" {
		return
	}
	if q, err := checks.Apparent.Parse(text); err == nil {
		return checks.Quantity{}, q
	}
	q, err := checks.Current.Parse(text)
	switch {
	case err != nil:
		r.Problem(f.Node("rating"), fmt.Sprintf("%q: %s", "rating", reason(err)), "for example 2 A, or 40 VA")
	case q.SI <= 0:
		r.Problem(f.Node("rating"), fmt.Sprintf("%q: %s is not above zero", "rating", q.Text), "")
	}
	return q, checks.Quantity{}
}

func (r *reader) battery(f section) Battery {
	b := Battery{Chemistry: r.oneOf(f, "chemistry"), Form: Form(r.mayBeOneOf(f, "form", string(Direct))),
		FormGiven: f.Has("form"),
		Capacity:  r.quantity(f, "capacity"), Energy: r.quantity(f, "energy"), HourRating: r.quantity(f, "hour_rating"),
		Exponent: r.quantity(f, "exponent"), Voltage: r.quantity(f, "voltage"), Efficiency: r.quantity(f, "efficiency"),
		Output: r.quantity(f, "output"), Resistance: r.quantity(f, "resistance"), Life: r.quantity(f, "life"),
		Fitted: r.date(f, "fitted"), Location: f.Text("location")}
	if text := f.Text("cells"); text != "" {
		row := keyAt(f.at("cells"))
		n, ok := wholeNumber(text)
		if !ok || float64(n) > row.Up {
			r.Problem(f.Node("cells"), fmt.Sprintf("%q is no number of cells", text),
				fmt.Sprintf("a whole number from %g to %g", row.Low, row.Up))
		}
		b.Cells = n
	}
	return b
}

func (r *reader) loads(f section) {
	r.site.Supply.LoadsGiven = f.Written("loads")
	names := map[string]int{}
	for _, item := range f.List("loads") {
		l := r.item(item, "supply.loads[]", "load")
		load := Load{l.need("name"), r.quantity(l, "current"), r.quantity(l, "alarm_current")}
		unique(r, l, "name", names, load.Name, load.Name != "", "load")
		r.site.Supply.Loads = append(r.site.Supply.Loads, load)
	}
}

func (r *reader) date(f section, key string) string {
	text := f.Text(key)
	if text == "" {
		return ""
	}
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		r.Problem(f.Node(key), fmt.Sprintf("%q is no date", text), "year-month-day, for example 2026-11-20")
	}
	return text
}

func (r *reader) readings(f section, hold time.Duration) []time.Duration {
	items := f.List("readings_at")
	if len(items) == 0 {
		return readingsOver(hold)
	}
	var at []time.Duration
	for _, item := range items {
		q, err := checks.Time.Parse(r.Scalar(item, "a time of a reading"))
		switch {
		case err != nil:
			r.Problem(item, reason(err), "")
		case q.Duration() > hold:
			r.Problem(item,
				fmt.Sprintf("a reading at %s lies after the hold time of %s", q.Text, checks.FormatDuration(hold)),
				"lengthen hold, or read earlier")
		case len(at) > 0 && q.Duration() <= at[len(at)-1]:
			r.Problem(item, "the times of readings must rise", "")
		default:
			at = append(at, q.Duration())
		}
	}
	if len(at) > 0 && at[len(at)-1] < hold {
		at = append(at, hold)
	}
	return at
}
