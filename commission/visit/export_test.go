package visit

// For tests outside of the package, which may import the adapters.
const (
	BenchSite    = benchSite
	BenchAnswers = benchAnswers
)

// Begin begins a visit in a journal on any file.
var Begin = begin

// Settle waits until all that has arrived is durable.
func Settle(v *Visit) error { return v.settle() }

// After is a maintenance visit after one that left something.
var After = after
