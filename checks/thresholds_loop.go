package checks

const (
	toleranceKey = "zones[].tolerance"
	cableKey     = "zones[].cable"
)

// loopThresholds are those of detection circuits and of the voltage at detectors.
var loopThresholds = []Threshold{
	{"loop/resistor/finest", 0.01, "", CommonPractice, "", toleranceKey, MayUndecide},
	{"loop/resistor/widest", 0.1, "", CommonPractice, "", toleranceKey, MayUndecide},
	// A length is an estimate, and a standard's row a maximum.
	{"loop/cable/holds-share", 0.2, "", CommonPractice, "", "", MayHold},
	{"loop/cable/widest-share", 0.5, "", CommonPractice, "", "", MayUndecide},
	// Where nothing is known of a cable: no longer, and no thinner.
	{"loop/cable/longest", 500, "m", CommonPractice, "", cableKey, MayUndecide},
	{"loop/cable/thinnest", 0.14, "mm²", CommonPractice, "", cableKey, MayUndecide},
	{"loop/ohmmeter/share", 0.01, "", CommonPractice, "", "", MayUndecide}, // of the reading
	{"loop/closed", closedOhm, "Ω", CommonPractice, "", "", MayHold},       // contacts and clips
	{"loop/open", openOhm, "Ω", CommonPractice, "", "", MayHold},           // a damp loop conducts a little
	// The supply at which a drop is tried where nobody declares the lowest; beside it the
	// lowest end of discharge.
	{"drop/nominal", 12, "V", CommonPractice, "", "limits.alarm_load_lower", MayUndecide},
}
