package signal

// Refusing is a Source that others can call, and that turns away who may not.
type Refusing interface {
	// Refused are the calls that were turned away since Start. It does not wait.
	Refused() Refused
}

// Refused counts calls that were turned away, by why.
type Refused struct {
	Secrets int // a wrong secret or token, or none
	Paths   int // a path that no rule of controller.yaml is about
	Hosts   int // meant for another host than this
	Bodies  int // let in, and what they say could not be taken, or not all of it: no rule knows it, or it cannot be read
}

// Any tells whether there were some.
func (r Refused) Any() bool { return r != Refused{} }

// Plus are both together.
func (r Refused) Plus(other Refused) Refused {
	return Refused{r.Secrets + other.Secrets, r.Paths + other.Paths, r.Hosts + other.Hosts, r.Bodies + other.Bodies}
}
