package words

import (
	"fmt"

	"loopwitness/checks"
)

// ofCable says what a cable probably is, and where its resistance is taken from.
func (l English) ofCable(p Phrase) (string, bool) {
	text := ""
	switch p := p.(type) {
	case checks.WireRule:
		text = englishWireRules[p]
	case GuessWhat:
		text = l.guessWhat(checks.Guess(p))
	case GuessWhy:
		text = l.guessWhy(checks.Guess(p))
	case GuessNext:
		text = englishGuessChecks[p.Next]
	}
	return text, text != ""
}

var englishWireRules = map[checks.WireRule]string{
	checks.RuleIEC60228:         "IEC 60228 maximum",
	checks.RuleIEC60228Flexible: "IEC 60228 maximum, flexible",
	checks.RuleVDE0295:          "DIN VDE 0295 maximum",
	checks.RuleVDE0295Flexible:  "DIN VDE 0295 maximum, flexible",
	checks.RuleArea:             "ρ/A, no row of a standard for this size",
	checks.RuleGauge:            "ρ/A of a solid AWG conductor (ASTM B258, IEC 60028)",
	checks.RuleGaugeStranded:    "ρ/A of a solid AWG conductor (ASTM B258, IEC 60028), 2 % for strands",
}

var englishGuesses = map[checks.GuessCode]string{
	checks.PerhapsMains:      "perhaps a mains cable",
	checks.OpenCircuit:       "an open circuit",
	checks.ClosedLoop:        "a closed contact loop without a resistor, or a short",
	checks.SeveralResistors:  "a circuit with several resistors, or a damp or bad joint",
	checks.SingleConductor:   "a single conductor: earth, or half of a circuit",
	checks.SupplyOrSounder:   "a supply or sounder pair",
	checks.SounderOrSupply:   "a sounder or supply pair",
	checks.ContactLoop:       "a contact loop",
	checks.TwoContactLoops:   "two contact loops",
	checks.DetectorAlarm:     "a powered detector: supply pair and alarm loop",
	checks.DetectorAlarmTamp: "a powered detector: supply, alarm and tamper loops",
	checks.SounderStrobe:     "a sounder with strobe and tamper",
	checks.TrunkToOthers:     "a trunk to a keypad, a junction box or several detectors",
}

func (l English) guessWhat(g checks.Guess) string {
	switch g.What {
	case checks.EndOfLine:
		return "a circuit with an end-of-line resistor of " + checks.FormatNumber(g.Value) + " Ω"
	case checks.TwoInSeries:
		return "two resistors of " + checks.FormatNumber(g.Value) + " Ω in series, with the contact active"
	}
	return englishGuesses[g.What]
}

func (l English) guessWhy(g checks.Guess) string {
	read := "it reads " + checks.FormatNumber(g.Ohm) + " Ω"
	switch g.Why {
	case checks.ByMainsColours:
		return "its colours are used for mains"
	case checks.ReadsOpen:
		return "it reads open"
	case checks.ReadsCable:
		return read + ", which is cable and contacts only"
	case checks.ReadsPreferred:
		return fmt.Sprintf("%s, within %s %% of a preferred value", read, l.Number(100*g.Within, 1))
	case checks.ReadsTwice:
		return fmt.Sprintf("%s, within %s %% of twice a preferred value", read, l.Number(100*g.Within, 1))
	case checks.ReadsNoPreferred:
		return checks.FormatNumber(g.Ohm) + " Ω is no preferred value"
	case checks.ByRedAndBlack:
		return "two cores, red and black"
	case checks.ByTwoPairs:
		return "two pairs"
	case checks.BySixCores:
		return "six cores are common"
	}
	switch g.Cores {
	case 1:
		return "one core"
	case 2:
		return "two cores"
	}
	return fmt.Sprintf("%d cores", g.Cores)
}

var englishGuessChecks = map[checks.GuessCheck]string{
	checks.TreatAsLive: "treat it as live: a licensed person must prove it dead before anyone touches it",
	checks.OperateAndRead: "close the door or window, or operate the detector, and read again: a change means a " +
		"contact, none means a cut or an unused cable",
	checks.OpenEachContact: "open each contact in turn: the reading must go open; if it does not, look for a bridge",
	checks.OpenTheContact: "open the contact: open means one resistor, about twice the reading means a second one " +
		"at the contact",
	checks.BringToRest: "bring the contact to rest: half the reading confirms it",
	checks.ReadBothWays: "read it in both directions and again with each contact operated; a reading that wanders " +
		"is a fault",
	checks.MeasureRedBlack:   "measure the voltage between red and black, and its polarity, before anything is connected",
	checks.FindSupplyPair:    "find the supply pair by its voltage, and its polarity, before anything is connected",
	checks.TraceBothEnds:     "trace it to both ends",
	checks.ReadOpenAndClosed: "read its resistance with the contact open and closed",
	checks.ReadEachPair:      "read each pair with its contact open and closed",
	checks.MeasureFirst:      "measure the voltage first",
	checks.OpenFarEnd:        "open the far end and label each pair before anything is disconnected",
}
