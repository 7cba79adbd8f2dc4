package beforehand

import (
	"slices"
	"strings"

	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/site"
)

// printed tells which texts of the site file certificates cannot show, and how to give them a second name.
func (f *finder) printed() {
	if f.Unprintable == nil {
		return
	}
	for _, value := range strictyaml.Scalars(f.Site.Raw) {
		if slices.Contains(value.Path, "printed") && value.Path[len(value.Path)-1] == "typed" {
			continue
		}
		scripts := f.Unprintable(f.asPrinted(value.Text))
		if len(scripts) == 0 {
			continue
		}
		f.found = append(f.found, Remark{Perhaps, "site.yaml", value.Line, value.Column,
			"certificates cannot show all of " + strictyaml.Quote(value.Text) + ": they would print ‹" +
				strings.Join(scripts, "›, ‹") + "› in its place",
			"give it a second name, for the certificate alone: printed: [{typed: " + strictyaml.Quote(value.Text) +
				", as: the same in Latin, Greek, Cyrillic or Hebrew letters}]"})
	}
}

// asPrinted is a text with second names in the place of the first.
func (f *finder) asPrinted(text string) string {
	all := slices.Clone(f.Site.Printed)
	slices.SortStableFunc(all, func(a, b site.Printed) int { return len(b.Typed) - len(a.Typed) })
	for _, p := range all {
		text = strings.ReplaceAll(text, p.Typed, p.As)
	}
	return text
}
