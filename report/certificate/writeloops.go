package certificate

import (
	"math"
	"slices"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// loopRow is what an ohmmeter should read on some zones.
type loopRow struct {
	of    words.Zones
	loop  judge.Loop // of all of them: the windows reach from the lowest to the highest
	widen [4]float64 // the narrowest window of each state among the zones, in Ω
	cells []Cell     // where nothing can be expected
	key   loopKey
}

// loopKey is what zones have in common that share a row.
type loopKey struct{ wiring, alike string }

// How much a window may grow by zones that share a row: little beside the tolerance of resistors, or by what clips and
// leads of an ohmmeter add, in Ω. Common practice, no source.
const (
	growsBy  = 1.25
	clipsOhm = 3
)

// loops is what an ohmmeter should read, for whoever comes next: zones that read alike share a row, below their wiring.
// merged tells that some share one whose cables differ.
func (w writer) loops() (t Table, merged bool) {
	t = Table{Columns: []Column{w.column(words.ZonesColumn, 62),
		w.measures(words.NormalColumn, words.Ohm, 22), w.measures(words.ActiveColumn, words.Ohm, 22),
		w.measures(words.ShortedColumn, words.Ohm, 18), w.measures(words.CutColumn, words.Ohm, 14),
		w.column(words.AlikeColumn, 42)}, Close: true}
	var wirings []string
	rows := map[string][]*loopRow{}
	for i := range w.r.Site().Zones {
		z := &w.r.Site().Zones[i]
		next := w.loopOf(z)
		wiring := next.key.wiring
		if rows[wiring] == nil {
			wirings = append(wirings, wiring)
		}
		at := slices.IndexFunc(rows[wiring], func(r *loopRow) bool { return r.takes(next) })
		if at < 0 {
			rows[wiring] = append(rows[wiring], next)
			continue
		}
		merged = rows[wiring][at].join(next) || merged
	}
	for _, wiring := range wirings {
		for i, r := range rows[wiring] {
			slices.Sort(r.of)
			row := Row{Cells: append([]Cell{{Text: w.say(r.of)}}, w.loopCells(r)...)}
			if i == 0 {
				row.Head = wiring
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t, merged
}

func (w writer) loopOf(z *site.Zone) *loopRow {
	r := &loopRow{of: words.Zones{z.Number}, key: loopKey{wiring: w.say(programme.HintOf(z))}}
	if lacks := w.r.Site().Missing(site.Part{Group: site.GroupWiring, Zone: z.Number}); len(lacks) > 0 {
		r.cells = []Cell{missing, missing, missing, missing, missing} // the wiring tells what is not known
		return r
	}
	loop, err := judge.ExpectedLoop(w.r.Site(), z)
	if err != nil {
		refused := w.say(judge.Lack{What: judge.LackSense, Said: err.Error()})
		r.cells, r.key.alike = []Cell{{}, {}, {}, {}, {Text: refused, Tone: Quiet}}, refused
		return r
	}
	r.loop = loop
	cells := words.LoopCells(w.o.Language, loop)
	r.key.alike = cells[len(cells)-1]
	for i, one := range r.windows() {
		if *one != nil {
			r.widen[i] = (*one).Up - (*one).Low
		}
	}
	return r
}

// windows are those that depend on the cable.
func (r *loopRow) windows() [4]**checks.Window {
	return [4]**checks.Window{&r.loop.Normal, &r.loop.Active, &r.loop.Fault, &r.loop.Shorted}
}

func (w writer) loopCells(r *loopRow) []Cell {
	if r.cells != nil {
		return r.cells
	}
	var cells []Cell
	for _, text := range words.LoopCells(w.o.Language, r.loop) {
		cells = append(cells, Cell{Text: text})
	}
	cells[len(cells)-1].Tone = Quiet
	return cells
}

// takes tells whether a zone can share a row: it reads the same, or nearly, as the tolerance of resistors goes.
func (r *loopRow) takes(next *loopRow) bool {
	if r.key != next.key || (r.cells == nil) != (next.cells == nil) {
		return false
	}
	mine, others := r.windows(), next.windows()
	for i := range mine {
		a, b := *mine[i], *others[i]
		if (a == nil) != (b == nil) {
			return false
		}
		if a == nil || sameWindow(a, b) {
			continue
		}
		low, up := min(a.Low, b.Low), max(a.Up, b.Up)
		if math.IsInf(a.Nominal, 1) || math.IsInf(b.Nominal, 1) || up-low > mostWide(min(r.widen[i], next.widen[i])) {
			return false
		}
	}
	return true
}

func mostWide(narrowest float64) float64 { return max(growsBy*narrowest, narrowest+clipsOhm) }

func sameWindow(a, b *checks.Window) bool {
	return math.Round(a.Low) == math.Round(b.Low) && math.Round(a.Up) == math.Round(b.Up) &&
		math.IsInf(a.Nominal, 1) == math.IsInf(b.Nominal, 1)
}

// join takes a zone into a row, and tells whether a window grew.
func (r *loopRow) join(next *loopRow) (grew bool) {
	r.of = append(r.of, next.of...)
	mine, others := r.windows(), next.windows()
	for i := range mine {
		a, b := *mine[i], *others[i]
		if a == nil || math.IsInf(a.Nominal, 1) {
			continue
		}
		grew = grew || !sameWindow(a, b)
		both := *a
		both.Low, both.Up = min(a.Low, b.Low), max(a.Up, b.Up)
		*mine[i] = &both
		r.widen[i] = min(r.widen[i], next.widen[i])
	}
	return grew
}
