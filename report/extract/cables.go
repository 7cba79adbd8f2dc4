package extract

import (
	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/words"
)

// Cable is a cable of an older system, as it was before anything was connected to it.
type Cable struct {
	Step       string   `json:"step"`
	Zone       int      `json:"zone"`
	Cores      int      `json:"cores,omitempty"`
	Colours    []string `json:"colours,omitempty"`
	Label      string   `json:"label,omitempty" jsonschema:"description=as it was read on it"`
	Perhaps    []string `json:"perhaps,omitempty" jsonschema:"description=what it probably was\\, the likely first; no proof"`
	Loop       *Ohms    `json:"loop,omitempty" jsonschema:"description=through two cores\\, the far end shorted or with its resistor"`
	Resistor   bool     `json:"with_resistor,omitempty"`
	Between    *Ohms    `json:"insulation_between,omitempty"`
	Earth      *Ohms    `json:"insulation_to_earth,omitempty"`
	Continuity string   `json:"continuity,omitempty" jsonschema:"enum=pass,enum=undecided,enum=fail"`
	Insulation string   `json:"insulation,omitempty" jsonschema:"enum=pass,enum=undecided,enum=fail"`
	Apart      string   `json:"apart_from_mains,omitempty" jsonschema:"enum=done,enum=not applicable,enum=defect,enum=not tested"`
}

// Ohms is a resistance, or that it was above what the instrument shows, or open.
type Ohms struct {
	Text  string   `json:"text" jsonschema:"description=as typed"`
	Ohm   *float64 `json:"value_ohm,omitempty"`
	Above bool     `json:"above,omitempty" jsonschema:"description=above what the instrument shows"`
	Open  bool     `json:"open,omitempty"`
}

func cablesOf(a *judge.Assessment) []Cable {
	all := []Cable{}
	for _, l := range a.Cables() {
		c := Cable{Step: l.Outcome.Step().ID, Zone: l.Zone.Number}
		if t := l.Tested; t != nil {
			c.Cores, c.Colours, c.Label = t.Is.Cores, t.Is.Colours, t.Is.Label
			c.Loop, c.Between, c.Earth = ohmsOf(t.Values.Loop), ohmsOf(t.Values.Between), ohmsOf(t.Values.Earth)
			c.Resistor = t.Values.Resistor
		}
		for _, g := range l.Guesses {
			c.Perhaps = append(c.Perhaps, english.Say(words.GuessWhat(g)))
		}
		if l.Continuity != nil {
			c.Continuity = string(l.Continuity.Ruling)
		}
		if l.Insulation != nil {
			c.Insulation = string(l.Insulation.Ruling)
		}
		if l.Apart != nil {
			c.Apart = string(l.Apart.Result())
		}
		all = append(all, c)
	}
	return all
}

func ohmsOf(v *checks.CableValue) *Ohms {
	if v == nil {
		return nil
	}
	o := &Ohms{Text: v.Text, Above: v.Above, Open: v.Open}
	if !v.Open {
		ohm := v.Ohm
		o.Ohm = &ohm
	}
	return o
}
