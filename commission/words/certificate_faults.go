package words

import (
	"time"

	"loopwitness/commission/signal"
)

// FaultNoticed is when the controller reported a fault of its supply, or its end, after its
// cause was said to be made, or ended: see record.Noticed.
type FaultNoticed struct {
	Aspect             signal.Aspect
	Present            bool
	After, AtMost      time.Duration
	Early, Kept, Never bool
}

// FaultsNote explains the table of faults of the supply.
const FaultsNote Note = "faults"

// The columns of that table.
const (
	FaultColumn   Column = "fault"
	ClearedColumn Column = "cleared"
)

// Code names it.
func (FaultNoticed) Code() string { return "certificate/fault-noticed" }
