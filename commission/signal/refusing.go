package signal

// Refusing is a Source that others can call, and that turns away who may not.
type Refusing interface {
	// Refused are the calls that were turned away since Start. It does not wait.
	Refused() Refused
}

// Refused counts calls that were turned away, by why; and those of which a part was.
type Refused struct {
	Secrets  int // a wrong secret or token, or none
	Paths    int // a path that no rule of controller.yaml is about
	Hosts    int // meant for another host than this
	Methods  int // GET, or another that is not taken
	Practice int // of a practice controller, in a visit that is none
	Bodies   int // let in, and what they say could not be taken: no rule knows it, or it cannot be read
	Parts    int // taken but for an item that no rule knows
}

// Any tells whether there were some.
func (r Refused) Any() bool { return r != Refused{} }

// Plus are both together.
func (r Refused) Plus(other Refused) Refused {
	return Refused{r.Secrets + other.Secrets, r.Paths + other.Paths, r.Hosts + other.Hosts, r.Methods + other.Methods,
		r.Practice + other.Practice, r.Bodies + other.Bodies, r.Parts + other.Parts}
}
