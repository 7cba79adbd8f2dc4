package words

import (
	"slices"
	"strings"
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// ChartLabel is what an axis, an area or a mark of a chart of this visit is labelled with.
type ChartLabel string

// The labels.
const (
	ResponseAxis     ChartLabel = "response"
	DetectorsAxis    ChartLabel = "detectors"
	VisitMinutesAxis ChartLabel = "visit-minutes"
	InTimeMark       ChartLabel = "in-time"
	NotInTimeMark    ChartLabel = "not-in-time"
	UnloadedMark     ChartLabel = "unloaded"
	LoadedMark       ChartLabel = "loaded"
	MainsOffArea     ChartLabel = "mains-off"
)

// BriefDetector is a detector by its point and name.
type BriefDetector programme.DetectorName

// CumulativeSays tells what the curve of response times shows: of N detectors half were reported within
// Half, all within Slowest, that of Name; Limits are those that are drawn. All in seconds. Slow detectors, of kinds
// that take their own time, are not among them; of Silent none came that said active.
type CumulativeSays struct {
	N, Trials     int
	Slow, Silent  int
	Half, Slowest float64
	Name          string
	Limits        []float64
}

// OrderSays tells what trials in the order of the visit show: Nearest is the largest share of its limit, in
// per cent, of one that was in time; Other were not in time or not decided, of Silent no report came.
type OrderSays struct {
	Trials        int
	Other, Silent []site.Point
	Nearest       float64
	Name          string
}

// SupplySays tells what the voltages over the visit show: Lowest, in V, is that without mains, zero for none;
// Off is how long mains was removed, Uncertainty the largest of the readings, in V, zero where none is stated; Drawn
// tells that it is large enough to be seen.
type SupplySays struct {
	Off                 time.Duration
	Lowest, Uncertainty float64
	Loaded, Drawn       bool
}

// Code names each.
func (c ChartLabel) Code() string   { return "chart/" + string(c) }
func (BriefDetector) Code() string  { return "chart/detector" }
func (CumulativeSays) Code() string { return "chart/cumulative" }
func (OrderSays) Code() string      { return "chart/order" }
func (SupplySays) Code() string     { return "chart/supply" }

// Few joins the first points, each once, and counts the others.
func Few(all []site.Point) (names string, more int) {
	const most = 6
	var once []string
	for _, p := range all {
		if !slices.Contains(once, string(p)) {
			once = append(once, string(p))
		}
	}
	return strings.Join(once[:min(most, len(once))], ", "), max(0, len(once)-most)
}
