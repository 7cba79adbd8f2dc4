package site

// Languages are the BCP 47 tags of the languages in which a visit is guided and its papers are
// written, the first of them where the file names none.
var Languages = []string{"en", "de"}

// Units are those in which lengths, conductors and dates are written.
type Units string

// The units. Volts, amperes, ohms, seconds and decibels are the same in both.
const (
	Metric Units = "metric"
	US     Units = "us" // feet and inches, American Wire Gauge; in English the month before the day
)

var keysOfLanguage = []Key{
	{Path: "language", Words: Languages, Default: Languages[0], Example: "de",
		Means:   "in which language visits are guided and certificates written",
		Changes: "all that a technician and a customer read; visit start and certify take another by --language"},
	{Path: "units", Words: []string{string(Metric), string(US)}, Default: string(Metric), Example: "us",
		Means:   "in which units lengths and conductors are written",
		Changes: "us: feet, American Wire Gauge, and in English the month before the day"},
}

func (r *reader) language(top section) {
	r.site.Language = r.mayBeOneOf(top, "language", "")
	r.site.Units = Units(r.mayBeOneOf(top, "units", ""))
}

func (w *writer) language(s *Site) {
	w.pair("", "language", s.Language)
	w.pair("", "units", string(s.Units))
}
