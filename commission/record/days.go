package record

import "time"

// farthestYears is how many years ahead of a visit a calibration may be due: no instrument is
// calibrated for longer (*common practice, no source*).
const farthestYears = 10

// FirstDay is the day on which the visit began, on the premises, year-month-day: nothing is
// undertaken by an earlier one.
func (r *Record) FirstDay() string { return r.Local(r.begun).Format(time.DateOnly) }

// FarthestDay is the last day that an instrument may be calibrated until.
func (r *Record) FarthestDay() string {
	return r.Local(r.begun).AddDate(farthestYears, 0, 0).Format(time.DateOnly)
}

// dayMisfits tells whether a day is none for what it is said of: before the visit for what is
// undertaken, too far ahead for a calibration. Days that are written so are in order of their
// letters.
func (r *Record) dayMisfits(of Field, day string) bool {
	switch {
	case day == "":
		return false
	case of == DayField:
		return day < r.FirstDay()
	}
	return of == CalibratedField && day > r.FarthestDay()
}

// misdated tells whether an entry says such a day.
func (r *Record) misdated(f Fact) bool {
	switch f := f.(type) {
	case Undertaken:
		return r.dayMisfits(DayField, f.By)
	case Tester:
		return r.dayMisfits(CalibratedField, f.Calibrated)
	case Instrument:
		return r.dayMisfits(CalibratedField, f.Calibrated)
	}
	return false
}
