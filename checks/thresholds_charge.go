package checks

// chargeThresholds are the voltages a cell, and the temperatures, between which
// batteries are charged. Lead-acid: valve-regulated, at 20 to 25 °C, since both
// are in use as reference. "Lowest" and "highest" are of all sources, "holds" is
// inside every source that the row names.
var chargeThresholds = []Threshold{
	{ID: "lead-acid/float/holds-low", Value: 2.25, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "charging instructions of a battery seller; data sheets of 12 V AGM batteries, 7.2 and 14 Ah"},
	{ID: "lead-acid/float/holds-high", Value: 2.30, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "charging instructions of a battery seller; data sheets of 12 V AGM batteries, 4, 5, 7.2 and 14 Ah"},
	{ID: "lead-acid/float/lowest", Value: 13.05 / 6, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "encyclopaedia, float voltage of gel batteries at 25 °C"},
	{ID: "lead-acid/float/lowest-cold", Value: 13.40 / 6, Unit: "V", Known: LookedUp, May: MayUndecide,
		Source: "data sheet of a 12 V AGM battery, 5 Ah: float without compensation from 15 to 35 °C"},
	{ID: "lead-acid/float/unknown-warmth", Value: 30, Unit: "°C", Known: CommonPractice, May: MayUndecide},
	{ID: "lead-acid/charge/highest", Value: 2.50, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "data sheets of 12 V AGM batteries, 5, 7.2, 14 and 40 Ah: cyclic charge"},
	{ID: "lead-acid/compensation/least", Value: 0.003, Unit: "V/K", Known: LookedUp, May: MayFail,
		Source: "maker's notes to a VRLA series; EN 62509:2011 as kept in the firmware of a charge controller"},
	{ID: "lead-acid/compensation/most", Value: 0.005, Unit: "V/K", Known: LookedUp, May: MayFail,
		Source: "encyclopaedia, float voltage; manual of an inverter, temperature compensation"},
	{ID: "lead-acid/reference/low", Value: 20, Unit: "°C", Known: LookedUp, May: MayFail,
		Source: "data sheets of 12 V AGM batteries, 7.2 and 14 Ah; maker's notes to a VRLA series"},
	{ID: "lead-acid/reference/high", Value: 25, Unit: "°C", Known: LookedUp, May: MayFail,
		Source: "data sheets of 12 V AGM batteries, 4, 5 and 40 Ah"},

	{ID: "lithium-ion/charge/holds-low", Value: 4.10, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "charging tables in an operating system's driver of telephone batteries: held after 200 h"},
	{ID: "lithium-ion/charge/holds-high", Value: 4.20, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "technical information of two makers of cells; open firmware of a battery management system"},
	{ID: "lithium-ion/charge/highest", Value: 4.35, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "charging tables in an operating system's driver of telephone batteries: the highest full charge"},
	{ID: "lithium-ion/charge/fails-low", Value: 3.838, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "open firmware of a battery management system, rest voltages: half charged"},
	{ID: "lithium-ion/charge/never", Value: 3.588, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "open firmware of a battery management system, rest voltages: 5 % charged"},

	{ID: "lithium-iron-phosphate/charge/holds-low", Value: 3.35, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "three guides to floating packs of four cells: 13.4 V lies in all of their ranges"},
	{ID: "lithium-iron-phosphate/charge/holds-high", Value: 3.65, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "manual of a 12 V pack: 14.6 V; voltage chart"},
	{ID: "lithium-iron-phosphate/charge/highest", Value: 3.90, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "maker's list of protection circuits: the highest over-charge trip"},
	{ID: "lithium-iron-phosphate/charge/fails-low", Value: 3.20, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "voltage chart, rest voltages: 20 % charged; the curve is too flat to tell half"},

	{ID: "lithium/charge/coldest", Value: 0, Unit: "°C", Known: LookedUp, May: MayFail,
		Source: "data of makers of cells and packs; certifier on IEC 62368-1 annex M.4"},
	{ID: "lithium/charge/holds-hottest", Value: 45, Unit: "°C", Known: LookedUp, May: MayHold,
		Source: "data of makers of cells and packs; certifier on IEC 62368-1 annex M.4"},
	{ID: "lithium/charge/hottest", Value: 60, Unit: "°C", Known: LookedUp, May: MayFail,
		Source: "manual of a 48 V lithium iron phosphate battery: no charge above"},
}
