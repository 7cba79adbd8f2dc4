package checks

import "time"

// switchOverThresholds tell a loss of the connection at the switch-over to standby power from a
// stall of the link. They only excuse.
var switchOverThresholds = []Threshold{
	// From removing mains: a controller that restarts does so at once, and its loss is told in less.
	{ID: "switch-over/begins", Value: 10, Unit: "s", Known: CommonPractice, May: MayUndecide},
	// A controller takes longer to start again; a link that stalls comes back in less.
	{ID: "switch-over/stall", Value: 2, Unit: "s", Known: CommonPractice, May: MayUndecide},
}

// AtSwitchOver tells whether a loss of the connection that began so long after mains was removed
// belongs to the switch-over.
func AtSwitchOver(began time.Duration) bool {
	return began.Seconds() <= threshold("switch-over/begins")
}

// IsStall tells whether a loss of the connection was so short that it may be one of the link.
func IsStall(lasted time.Duration) bool { return lasted.Seconds() <= threshold("switch-over/stall") }
