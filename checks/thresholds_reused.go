package checks

const (
	insulationSource = "IEC 60364-6 table 6.1"
	insulationKey    = "limits.insulation"
)

// reusedThresholds are those of cables of an older system.
var reusedThresholds = []Threshold{
	{"cable/insulation/holds", 0.5e6, "Ω", LookedUp, insulationSource, insulationKey, MayFail},
	// Editions before 2008: between the two, sources do not agree.
	{"cable/insulation/older", 0.25e6, "Ω", FromMemory, "", insulationKey, MayUndecide},
	{"cable/insulation/test-volt", 250, "V", LookedUp, insulationSource, "", MayUndecide},
	{"cable/insulation/tester-share", 0.1, "", CommonPractice, "", "", MayUndecide}, // where nobody states it
}
