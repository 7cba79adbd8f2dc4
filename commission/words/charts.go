package words

import (
	"time"

	"loopwitness/commission/programme"
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
// Half, all within Slowest, that of Name; Limits are those that are drawn. All in seconds.
type CumulativeSays struct {
	N, Trials     int
	Half, Slowest float64
	Name          string
	Limits        []float64
}

// OrderSays tells what trials in the order of the visit show: Nearest is the largest share of its limit, in
// per cent, of one that was in time; Other were not in time or not decided, Silent never came.
type OrderSays struct {
	Trials, Other, Silent int
	Nearest               float64
	Name                  string
}

// SupplySays tells what the voltages over the visit show: Lowest, in V, is that without mains, zero for none;
// Off is how long mains was removed, Uncertainty the largest of the readings, in V, zero where none is stated.
type SupplySays struct {
	Off                 time.Duration
	Lowest, Uncertainty float64
	Loaded              bool
}

// Code names each.
func (c ChartLabel) Code() string   { return "chart/" + string(c) }
func (BriefDetector) Code() string  { return "chart/detector" }
func (CumulativeSays) Code() string { return "chart/cumulative" }
func (OrderSays) Code() string      { return "chart/order" }
func (SupplySays) Code() string     { return "chart/supply" }
