package words_test

import (
	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// reusedRows are the rows about cables of an older system.
var reusedRows = []judge.Row{
	judge.ContinuityRow{Zone: zone, Measured: "12.4 ohm", Uncertainty: 0.2, Length: "60 m", Conductor: "0.22 mm2",
		Cable: 11.5},
	judge.ContinuityRow{Zone: zone, Measured: "open", Open: true},
	judge.ContinuityRow{Zone: zone, Measured: "4.71k", WithIt: true, Resistor: "4k7", Short: true},
	judge.ContinuityRow{Zone: zone, Measured: "2.2k", WithIt: true, Resistor: "4k7"},
	judge.InsulationRow{Zone: zone, Between: "> 200 Mohm", Earth: "0.3 Mohm", Worst: judge.CoresToEarth, TestVolt: 250,
		Share: judge.Assumable{Value: 0.1, Assumed: true}, Limit: site.Limit{SI: 0.5e6}},
	judge.InsulationRow{Zone: zone, Between: "20 Mohm", Worst: judge.BetweenCores, Share: judge.Assumable{Value: 0.05},
		Limit: named},
}

// reusedExamples are the phrases about them, and what stands on labels.
var reusedExamples = []words.Phrase{judge.LoopOfCable, judge.ReuseNotSaid{All: true},
	judge.ReuseNotSaid{Zones: []programme.ZoneName{zone}}, judge.CablesLeftOut{Cables: 1}, judge.CablesLeftOut{Cables: 7},
	judge.CableUnmeasured{Of: []judge.CablePart{judge.LoopOfCable, judge.CoresToEarth}}, judge.TesterUncertain{Volt: true},
	judge.TesterUncertain{Share: true}, judge.TesterUncertain{Volt: true, Share: true},
	words.CableLook{Is: checks.CableSeen{Cores: 4, Colours: []string{"red"}, Label: "hall"},
		Guesses: []checks.Guess{{What: checks.DetectorAlarm, Why: checks.ByCores, Next: checks.FindSupplyPair, Cores: 4}}},
	words.CableTester{Name: "tester 7", Calibrated: "2027-03-01", Volt: 250, Share: 0.05},
	words.AtController, words.LabelHead{Zone: 3, Place: words.AtFarEnd}, words.LabelCores{},
	words.LabelCores{Seen: &checks.CableSeen{Cores: 1}}, words.LabelTerminal{Address: "z03"},
	words.LabelEnd{Wiring: site.NormallyClosed},
	words.LabelEnd{Wiring: site.ThreeResistors, Hint: programme.Hint{EndOfLine: "4k7", ContactResistor: "4k7",
		FaultResistor: "2k2"}},
	words.LabelSheet{Reference: "KP-1", Width: 64, Height: 33, Page: 1, Pages: 2},
}
