package beforehand

import (
	"fmt"
	"time"

	"loopwitness/checks"
)

const year = 8766 * time.Hour

// battery finds one that is beyond its life. Age alone is advice, never a fault.
func (f *finder) battery(today time.Time) {
	b := f.Site.Supply.Battery
	fitted, err := time.Parse(time.DateOnly, b.Fitted)
	if err != nil {
		return // no date is given
	}
	life, _ := checks.Chemistry(b.Chemistry).ServiceLife()
	by := "as is usual"
	if b.Life.Given() {
		life, by = b.Life.Duration(), "as this file has it"
	}
	path := at("supply", "battery", "fitted")
	switch age := today.Sub(fitted); {
	case age < -24*time.Hour: // it is tomorrow somewhere on earth
		f.inSite(Perhaps, path, "correct the date, or the clock of this computer", "the battery was fitted after today")
	case life > 0 && age > life:
		f.inSite(Perhaps, path, "renew it and write the new date, or let its capacity be tested",
			"the battery was fitted %s ago; its service life is %s, %s", years(age), years(life), by)
	}
}

func years(d time.Duration) string { return fmt.Sprintf("%.1f years", float64(d)/float64(year)) }
