package words

import "loopwitness/commission/site"

// UnitsOf is what a language keeps of a site's units: "" for metric ones, whether the file
// names them or not.
func UnitsOf(u site.Units) site.Units {
	if u == site.US {
		return u
	}
	return ""
}
