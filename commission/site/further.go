package site

// Further is what papers ask of a system beside what is fitted, as it was typed. It is printed
// and never judged.
type Further struct{ Design, Authority, Controls, Interfaces string }

var keysOfFurther = []Key{
	{Path: "design", Takes: asText, Example: "proposal P-31 of 3 March 2026, with its risk assessment",
		Means: "who designed the system, and by which paper", Changes: printed},
	{Path: "authority", Takes: asText, Example: "none has to be informed", Means: "which authority is to be informed",
		Changes: printed},
	{Path: "controls", Takes: asText, Example: "keypad by the shop door; application of the owner",
		Means: "with what the user sets and unsets the system, and where that is", Changes: printed},
	{Path: "interfaces", Takes: asText, Example: "opens the gate on the owner's key; nothing can unset the alarm",
		Means: "other systems that it is joined to, and what each may do", Changes: printed},
}

func further(top section) Further {
	return Further{top.Text("design"), top.Text("authority"), top.Text("controls"), top.Text("interfaces")}
}

func (w *writer) further(f Further) {
	for _, p := range (pairs{{"design", f.Design}, {"authority", f.Authority}, {"controls", f.Controls},
		{"interfaces", f.Interfaces}}) {
		w.pair("", p[0], p[1])
	}
}
