package certificate

import (
	"slices"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// severalAlike is from how many on what was computed or noted alike shares a row: fewer are read one by one.
const severalAlike = 6

// drops are voltages at detectors that were computed alike, and hold.
type drops []judge.Computed

// alikeDrops are the groups of several voltages that hold, from the same supply against the same minimum, each by its
// first row. What does not hold, or cannot be told, stands by itself.
func (w writer) alikeDrops() map[int]drops {
	type key struct {
		supply, least string
		chained       bool
		assumed       string
	}
	by, first := map[key]drops{}, map[key]int{}
	for i, c := range w.a.Computed() {
		r, is := c.Row.(judge.DropRow)
		if !is || c.Ruling != checks.Pass || len(c.Missing) > 0 || c.Danger || c.Hollow {
			continue
		}
		k := key{w.number(r.Supply, words.AsNeeded), r.Minimum, r.After != "", w.commas(typed(c.Assumed...)...)}
		if by[k] == nil {
			first[k] = i
		}
		by[k] = append(by[k], c)
	}
	all := map[int]drops{}
	for k, of := range by {
		if len(of) >= severalAlike {
			all[first[k]] = of
		}
	}
	return all
}

// lowest is the row with the lowest voltage of them, the first of those that have it.
func (d drops) lowest() judge.Computed {
	return slices.MinFunc(d, func(a, b judge.Computed) int {
		return compare(a.Row.(judge.DropRow).Far, b.Row.(judge.DropRow).Far)
	})
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// dropsRow is one row for all of them, with the lowest.
func (w writer) dropsRow(d drops, told map[string]bool) Row {
	worst := d.lowest()
	lowest := worst.Row.(judge.DropRow)
	row := w.computedRow(worst, map[string]bool{})
	row.Cells[0].Text = w.say(words.DropsOf{N: len(d)})
	row.Cells[1].Text = w.say(words.DropsLowest{Volt: lowest.Far, At: lowest.Detector})
	from := words.DropsFrom{Supply: lowest.Supply, CurrentFrom: lowest.Carries, CurrentTo: lowest.Carries,
		Annex: words.DropsHeading}
	metres := map[site.Point]float64{}
	w.r.Site().Each(func(p site.Point, _ *site.Zone, d *site.Detector) {
		if d.Power != nil {
			metres[p] = d.Power.CableLength.SI
		}
	})
	for i, c := range d {
		r := c.Row.(judge.DropRow)
		metre := metres[r.Detector.Point]
		if i == 0 {
			from.From, from.To = metre, metre
		}
		from.From, from.To = min(from.From, metre), max(from.To, metre)
		from.CurrentFrom, from.CurrentTo = min(from.CurrentFrom, r.Carries), max(from.CurrentTo, r.Carries)
		if !slices.Contains(from.Rules, r.Rule) {
			from.Rules = append(from.Rules, r.Rule)
		}
	}
	remark := []words.Phrase{from}
	said := w.o.Language.Computed(worst)
	if !told[said.Formula] {
		told[said.Formula] = true
		remark = append(remark, words.AsTyped(said.Formula))
	}
	if said.Change != "" {
		remark = append(remark, words.ToChange{Text: said.Change})
	}
	row.Remark = w.semicolons(remark...)
	return row
}

// eachDrop are all voltages that share a row with others, one by one; those with the same feed stand together,
// two beside each other.
func (w writer) eachDrop() Section {
	columns := []Column{w.column(words.DetectorsColumn, 26), w.column(words.CableColumn, 28),
		w.measures(words.CableLoopColumn, words.Ohm, 12), w.column(words.CurrentColumn, 12),
		w.measures(words.VoltageColumn, words.Volt, 12)}
	all := w.cellsOfDrops()
	if len(all) == 0 {
		return Section{}
	}
	half := len(columns)
	t := Table{Columns: slices.Concat(columns, columns), Close: true}
	for i := 0; i < len(all); i += 2 {
		cells := make([]Cell, 2*half)
		copy(cells, all[i])
		if i+1 < len(all) {
			copy(cells[half:], all[i+1])
		}
		t.Rows = append(t.Rows, Row{Cells: cells})
	}
	return w.section(words.DropsHeading, w.quiet(words.DropsNote), t)
}

// cellsOfDrops are the detectors of a feed, its cable, and what was computed.
func (w writer) cellsOfDrops() (all [][]Cell) {
	groups := w.alikeDrops()
	row, at := map[string]int{}, [][]site.Point{}
	for i := range w.a.Computed() {
		for _, c := range groups[i] {
			r := c.Row.(judge.DropRow)
			cells := []Cell{{Bold: true}, {Text: w.say(words.FedBy{Row: r})}, {Text: w.number(r.Loop, 2)}, {Text: r.Current},
				{Text: w.number(r.Far, 2)}}
			key := w.commas(typed(cells[1].Text, cells[2].Text, cells[3].Text, cells[4].Text, r.Minimum)...)
			if _, there := row[key]; !there {
				row[key], at = len(at), append(at, nil)
				all = append(all, cells)
			}
			at[row[key]] = append(at[row[key]], r.Detector.Point)
		}
	}
	for i := range at {
		all[i][0].Text = w.say(words.AlikePoints{Of: at[i]})
	}
	return all
}

// noted is a run of standing notes that say the same of zones, or of detectors.
type noted struct {
	items Items
	zones words.Zones
	at    []site.Point
}

// alikeNotes are the standing notes; several in a row that say the same of zones or of detectors are one entry.
func (w writer) alikeNotes() Items {
	var runs []*noted
	for _, f := range w.a.Notes() {
		item := Item{Mark: f.ID, About: w.say(f.Subject), Text: w.say(words.Matter{Of: f}), Then: w.say(words.ToDo{Of: f})}
		next := &noted{items: Items{item}}
		switch of := f.Subject; {
		case of.Zone != nil:
			next.zones = words.Zones{of.Zone.Number}
		case of.Detector != nil:
			next.at = []site.Point{of.Detector.Point}
		}
		if len(runs) == 0 || !runs[len(runs)-1].take(next) {
			runs = append(runs, next)
		}
	}
	var items Items
	for _, n := range runs {
		if len(n.items) < severalAlike {
			items = append(items, n.items...)
			continue
		}
		one := n.items[0]
		one.Mark += "–" + n.items[len(n.items)-1].Mark
		if one.About = w.say(words.AlikePoints{Of: n.at}); len(n.zones) > 0 {
			slices.Sort(n.zones)
			one.About = w.say(words.Titled{Of: words.AlikeZones{Of: n.zones}})
		}
		items = append(items, one)
	}
	return items
}

// take takes the next note into a run, if it says the same of another zone or detector.
func (n *noted) take(next *noted) bool {
	a, b := n.items[0], next.items[0]
	if a.Text != b.Text || a.Then != b.Then || (len(n.zones) > 0) != (len(next.zones) > 0) ||
		(len(n.at) > 0) != (len(next.at) > 0) || len(n.zones)+len(n.at) == 0 {
		return false
	}
	n.items, n.zones, n.at = append(n.items, b), append(n.zones, next.zones...), append(n.at, next.at...)
	return true
}
