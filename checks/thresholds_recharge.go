package checks

// rechargeThresholds are currents as shares of a capacity, and what is returned.
var rechargeThresholds = []Threshold{
	{ID: "lead-acid/charge-current/holds", Value: 0.25, Unit: "1/h", Known: LookedUp, May: MayHold,
		Source: "data sheet of a 12 V AGM battery, 4 Ah: maximum charge current"},
	{ID: "lead-acid/charge-current/fails", Value: 0.4, Unit: "1/h", Known: LookedUp, May: MayFail,
		Source: "data sheet of a 12 V AGM battery, 40 Ah: maximum charge current"},
	{ID: "lithium/charge-current/holds", Value: 0.2, Unit: "1/h", Known: LookedUp, May: MayHold,
		Source: "data of makers of packs: charge current from 5 to 15 °C"},
	{ID: "recharge/returned", Value: 1.1, Unit: "", Known: LookedUp, May: MayHold,
		Source: "charging instructions of a battery seller"},
	{ID: "rectifier/holds", Value: 0.55, Unit: "", Known: LookedUp, May: MayHold,
		Source: "transformer maker: 1.8 A of alternating for 1 A of direct current, rounded down"},
	{ID: "rectifier/fails", Value: 0.62, Unit: "", Known: FromMemory, May: MayUndecide},
}
