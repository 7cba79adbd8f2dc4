package visit

// For tests outside of the package, which may import the adapters.
const (
	BenchSite    = benchSite
	BenchAnswers = benchAnswers
)
