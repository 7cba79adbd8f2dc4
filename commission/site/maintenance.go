package site

import "loopwitness/checks"

// Maintenance is what was agreed about maintenance.
type Maintenance struct {
	// Sample is which share of the detectors a maintenance visit takes, above 0 and up to
	// 1; not given: all of them.
	Sample       checks.Quantity
	SampleSource string // who says so, as typed
}

func (r *reader) maintenance(top section) {
	f := r.section(top, "maintenance")
	r.site.Maintenance.Sample, r.site.Maintenance.SampleSource = r.quantity(f, "sample"), f.Text("sample_source")
}

// maintenance writes what was agreed, if anything was.
func (w *writer) maintenance(m Maintenance) {
	w.section("maintenance", pairs{{"sample", m.Sample.Text}, {"sample_source", m.SampleSource}})
}
