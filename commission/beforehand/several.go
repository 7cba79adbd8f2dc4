package beforehand

import "strconv"

// ofEither finds zones that more than one of several ways can report.
func (f *finder) ofEither() {
	var numbers []string
	first := 0
	for i := range f.Site.Zones {
		z := &f.Site.Zones[i]
		if len(f.Listen.WaysOf(z.Address)) < 2 {
			continue
		}
		if len(numbers) == 0 {
			first = i
		}
		numbers = append(numbers, strconv.Itoa(z.Number))
	}
	if len(numbers) > 0 {
		f.inSite(Perhaps, at("zones", first, "address"), "write the address out in a rule of the way that it belongs to",
			"more than one way of listening can report zone %s: the first that does in a run counts, what others report of it "+
				"does not, and until then its times are known as the least sure of them knows them", some(numbers))
	}
}
