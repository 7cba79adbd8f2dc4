package checks

const (
	frequencyKey = "outputs[].frequency"
	sinceISO3744 = "ISO 3744:2010 8.2.3"
)

// soundThresholds are those of sounders. What a meter may be off stands in meterRows.
var soundThresholds = []Threshold{
	{"sound/margin/holds", 15, "dB", LookedUp, "ISO 7731:2003", "limits.margin", MayHold},
	{"sound/frequency/low", 2000, "Hz", CommonPractice, "", frequencyKey, MayHold},
	{"sound/frequency/high", 4000, "Hz", CommonPractice, "", frequencyKey, MayHold},
	// Of the distance, where nobody says how well it is known.
	{"sound/distance/share", 0.2, "", CommonPractice, "", "", MayUndecide},
	// One wall lowers a steady tone by that at one place (computed for 1 m, image at 2 m).
	{"sound/reflection/lowers", 6, "dB", CommonPractice, "", "", MayUndecide},
	// A-weighting differs from C and Z by no more between 500 Hz and 8 kHz.
	{"sound/weighting/differs", 3.2, "dB", LookedUp, "IEC 61672-1:2013", "", MayUndecide},
	{"sound/background/none", 15, "dB", LookedUp, sinceISO3744, "", MayHold},
	{"sound/background/least", 6, "dB", LookedUp, sinceISO3744, "", MayUndecide},
	{"sound/background/most", 1.3, "dB", LookedUp, sinceISO3744, "", MayUndecide},
	{"cut-off/holds-share", 1.1, "", CommonPractice, "", "outputs[].cut_off", MayHold}, // of the declared time
	{"cut-off/early-share", 0.5, "", CommonPractice, "", "outputs[].cut_off", MayUndecide},
}
