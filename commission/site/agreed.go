package site

// Agreed is one thing that was agreed with the customer, as it was typed: a line of a
// checklist that has its name offers it.
type Agreed struct{ Key, Text string }

var keysOfAgreed = []Key{
	{Path: "agreed", Takes: asKeys, Means: "what was agreed with the customer; each is one line of a list to confirm"},
	{Path: "agreed.keyholders", Takes: asText, Example: "two keyholders, called before the police",
		Means: "how many keyholders, and who responds; no names", Changes: asked},
	{Path: "agreed.log_book_place", Takes: asText, Example: "controller cupboard", Means: "where the log book lies",
		Changes: asked},
	{Path: "agreed.agreement", Takes: asText, Example: "one visit a year, one remote check",
		Means: "the maintenance agreement: its kind", Changes: asked},
	{Path: "agreed.records", Takes: asText, Example: "by the installer for the life of the system; copy with the customer",
		Means: "who keeps the record, and for how long", Changes: asked},
	{Path: "agreed.next_visit", Takes: asText, Example: "November 2027", Means: "when the next visit was agreed",
		Changes: asked},
}

// asked is what these texts change.
const asked = "confirmed in a hand-over with one key, and printed; without it, it is asked"

func (r *reader) agreed(f section) {
	for _, key := range under("agreed") {
		if text := f.Text(key); text != "" {
			r.site.Agreed = append(r.site.Agreed, Agreed{key, text})
		}
	}
}
