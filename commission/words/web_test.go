package words_test

import "loopwitness/commission/words"

var webExamples = []words.Phrase{words.WebDangers, words.WebHeading{Number: "KP-0042 rev. 1", Certified: true},
	words.WebHeading{Number: "KP-0042 rev. 1"}, words.WebCaption{Title: "Zone schedule", N: 1, Many: 2},
	words.WebValues{Of: "detectors / %", Over: "response / s"}, words.WebSpan{From: 1, To: 2.5},
	words.WebDrawn{Name: "Bea"}, words.WebDrawn{Name: "Bea", Picture: true}, words.WebPhotograph{Title: "P1 Zone 3"}}
