package words

import "loopwitness/commission/programme"

// englishItems are the lines of our own checklists.
var englishItems = map[programme.ItemCode]string{
	"people-told":      "Everybody on the premises knows that alarms will sound and for how long",
	"mains":            "No mains wiring was opened or touched by anyone without the licence for it",
	"old-battery":      "The old battery was taken out, its terminals insulated, and given to a place that accepts it",
	"battery-fitted":   "The new battery is fixed, fused, ventilated and marked with the date it was fitted",
	"polarity":         "Polarity was measured at the terminals of every powered detector before it was connected",
	"cables-labelled":  "Both ends of every cable carry the label of its zone",
	"insulation":       "No cable shows damaged insulation, a loose joint or a strand outside its terminal",
	"fixing":           "Contacts, magnets and detectors are fixed firmly and aligned; covers are closed",
	"sounder-fixing":   "The sounder is out of easy reach, fixed, dry inside, and nobody's ear is near it",
	"pack-charges":     "After mains came back, the standby pack shows that it charges again",
	"access":           "Ladders and footing for what has to be reached are safe and fit for the place",
	"user-shown":       "The user has set and unset the system, and was shown what each indication means",
	"codes":            "Codes used while commissioning were removed; the user chose new ones, unseen",
	"documents":        "The zone schedule, the manuals and the log book were left on the premises",
	"false-alarms":     "The user knows how to cancel a false alarm and whom to call",
	"normal":           "Every zone is at rest, nothing is inhibited or isolated, and the system is back to normal",
	"changes":          "Building, use and contents are as when the system was designed, or the differences were noted",
	"battery-state":    "The battery is not swollen, leaking or hot; its terminals are clean and its date is legible",
	"battery-replaced": "A battery that was replaced had its terminals insulated and went to a place that accepts it",
	"polarity-again":   "Any powered detector that was reconnected had its polarity measured first",
	"labels-still":     "Both ends of every cable still carry the label of its zone",
	"insulation-still": "No cable shows damaged insulation, a loose joint, corrosion or gnawing",
	"fixing-still":     "Contacts, magnets and detectors are firm, aligned and clean; nothing stands in their view",
	"user-asked":       "The user was asked for troubles, and can still set and unset the system",
	"faults-told":      "Faults found were shown to the user, with what is done about each",
	"log-book":         "The visit was entered in the log book on the premises",
	"repaired":         "What was repaired or replaced since the last visit is known and was looked at",
	"repairs-told":     "What was repaired, and what is still open, was shown to the user",
}
