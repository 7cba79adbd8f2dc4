package site

import "loopwitness/checks"

// Maintenance is what was agreed about maintenance.
type Maintenance struct {
	// Sample is which share of the detectors a maintenance visit takes, above 0 and up to
	// 1; not given: all of them.
	Sample       checks.Quantity
	SampleSource string // who says so, as typed
}

var keysOfMaintenance = []Key{
	{Path: "maintenance", Takes: asKeys, Means: "what was agreed about maintenance"},
	{Path: "maintenance.sample", In: checks.Ratio, Above: true, Low: 0.01, Up: 1, Default: "100 %", Example: "25 %",
		Means:   "the share of the detectors that a maintenance visit takes at least",
		Changes: "which detectors it takes; the others are a limitation"},
	{Path: "maintenance.sample_source", Takes: asText, Example: "agreed in the contract", Means: "who says so",
		Changes: "printed beside that limitation; needed for a sample"},
}

func (r *reader) maintenance(top section) {
	f := r.section(top, "maintenance")
	r.site.Maintenance.Sample, r.site.Maintenance.SampleSource = r.quantity(f, "sample"), f.Text("sample_source")
}

// maintenance writes what was agreed, if anything was.
func (w *writer) maintenance(m Maintenance) {
	w.section("maintenance", pairs{{"sample", m.Sample.Text}, {"sample_source", m.SampleSource}})
}
