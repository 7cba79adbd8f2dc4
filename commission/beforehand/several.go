package beforehand

import (
	"fmt"
	"strings"
)

// ofEither finds zones that more than one of several ways can report.
func (f *finder) ofEither() {
	for i := range f.Site.Zones {
		z := &f.Site.Zones[i]
		ways := f.Listen.WaysOf(z.Address)
		if len(ways) < 2 {
			continue
		}
		f.inSite(Perhaps, at("zones", i, "address"), "write this address out in a rule of the way that it belongs to",
			"%s can report zone %d: the first that does counts, the reports of others do not, and until then its times are "+
				"known as the least sure of them knows them", fmt.Sprintf("both of %s", strings.Join(ways, " and ")), z.Number)
	}
}
