package german

import "loopwitness/commission/words"

// englishPageLearning is what a phone's page says in the place of what it says of a visit,
// while a site is learnt.
var germanPageLearning = map[words.PageLearning]string{
	"online":  "This phone reaches the computer.",
	"offline": "This phone does not reach the computer.",

	"onlooker":       "You are looking on. Nothing here changes what is learnt.",
	"joining-title":  "Joining …",
	"nothing-help":   "The computer is at work. What comes next appears here.",
	"gone-title":     "Learning is over, or broken off",
	"gone-help":      "Nothing more is asked here. To go on, begin it at the computer again; the code is new then.",
	"unpaired-help":  "The code is new whenever learning is begun or resumed: take a picture of the one on the computer.",
	"not-taken":      "That did not reach the computer. Try it again.",
	"more-visit":     "The walk",
	"pause":          "break the walk off",
	"pause-sure":     "What was said is kept. It goes on at the computer, another time.",
	"give-back-sure": "The computer asks from then on. This phone goes on showing what is learnt.",

	"tap-not-taken":         "A kept touch came too late to be taken.",
	"taps-of-another-visit": "Touches that were kept for a visit were dropped.",
}
