package verify

import (
	"fmt"

	"loopwitness/report/certificate"
)

// Difference is a statement of the certificate that its record does not give.
type Difference struct {
	About  string `json:"about"`
	States string `json:"states"` // the certificate; "" if it states nothing
	Gives  string `json:"gives"`  // the record; "" if it gives nothing
}

func (d Difference) String() string {
	switch {
	case d.States == "":
		return fmt.Sprintf("%s: the record gives %q, the certificate states nothing", d.About, d.Gives)
	case d.Gives == "":
		return fmt.Sprintf("%s: the certificate states %q, the record gives nothing", d.About, d.States)
	}
	return fmt.Sprintf("%s: the certificate states %q, the record gives %q", d.About, d.States, d.Gives)
}

// statements compares what a certificate states with what its record gives.
func (d *differing) statements(states, gives []certificate.Stated) {
	given := map[string]string{}
	for _, s := range gives {
		given[s.Key] = s.Text
	}
	for _, s := range states {
		if text := given[s.Key]; text != s.Text {
			d.add(s.Key, s.Text, text)
		}
		delete(given, s.Key)
	}
	for _, s := range gives {
		if _, left := given[s.Key]; left {
			d.add(s.Key, "", s.Text)
		}
	}
}
