package certificate

import "slices"

// paginate fills pages with parts. A section's title and a table's head never stand without what follows them; the head
// of a table is repeated. A last page with little on it is pulled back by closer spacing; one with next to nothing
// takes something from the page before.
func paginate(d Document) [][]*part {
	var front []*part
	var shown []bool
	if d.Front != nil {
		front, shown = frontPage(d)
	}
	all := layAll(d, shown)
	pages := fill(d, front, all, spacing{squeeze: 1})
	if lastUsed(d.Paper, pages) >= littleUsed {
		return pages
	}
	if closer := fill(d, front, all, spacing{squeeze: 0.5}); len(closer) < len(pages) {
		return closer
	}
	if !sparse(d.Paper, pages) {
		return pages
	}
	even := fill(d, front, all, spacing{squeeze: 1, page: len(pages) - 2, short: 1.5 * leastUsed * d.Paper.room()})
	if len(even) == len(pages) && !sparse(d.Paper, even) {
		return even
	}
	return pages
}

const (
	aboveTitle = 4.0

	// Shares of the last page that are used. Common practice, no source.
	littleUsed = 0.3
	leastUsed  = 0.15
)

// spacing is how the space between what stands on pages is changed: squeeze is its share, and on one page short is left
// free at the foot, in mm.
type spacing struct {
	squeeze float64
	page    int
	short   float64
}

// sparse tells whether next to nothing stands on the last page.
func sparse(p Paper, pages [][]*part) bool { return lastUsed(p, pages) < leastUsed }

// lastUsed is the share of the last page that is used, 1 of a single page.
func lastUsed(paper Paper, pages [][]*part) float64 {
	if len(pages) == 1 {
		return 1
	}
	used := 0.0
	for _, p := range pages[len(pages)-1][1:] {
		used += p.height
	}
	return used / paper.room()
}

// laid is a section that is laid out.
type laid struct {
	title *part
	whole bool
	flows []flow
}

// layAll lays everything out, once, but the entries that page one shows.
func layAll(d Document, shown []bool) (all []laid) {
	lay := layBlock
	if closely(d) {
		lay = layTight
	}
	for _, s := range d.Sections {
		s = s.without(shown)
		l := laid{title: heading(s.Title, d.accent()), whole: s.Whole}
		l.title.begins = s.Title
		for i, block := range s.Blocks {
			f := lay(block)
			if len(f.parts) == 0 {
				continue
			}
			f.leads = leads(s.Blocks, i)
			f.note = isNote(block)
			l.flows = append(l.flows, f)
		}
		all = append(all, l)
	}
	return all
}

// leads tells whether a block stays with the one below it: a paragraph that says so, or that a section begins with.
func leads(blocks []Block, i int) bool {
	p, is := blocks[i].(Prose)
	if !is || i+1 == len(blocks) {
		return false
	}
	_, more := blocks[i+1].(Prose)
	return p.Leads || i == 0 && !more
}

// isNote tells whether a block explains the one above it.
func isNote(block Block) bool {
	p, is := block.(Prose)
	return is && p.Quiet && !p.Leads
}

// without is the section without the entries that page one shows, and says so.
func (s Section) without(shown []bool) Section {
	left := 0
	blocks := slices.Clone(s.Blocks)
	for i, block := range blocks {
		items, is := block.(Items)
		if !is {
			continue
		}
		blocks[i] = slices.DeleteFunc(slices.Clone(items), func(item Item) bool {
			return item.Front > 0 && item.Front <= len(shown) && shown[item.Front-1]
		})
		left += len(items) - len(blocks[i].(Items))
	}
	if left == 0 || s.Elsewhere == "" {
		return s
	}
	s.Blocks = append(blocks, Prose{Text: s.Elsewhere, Quiet: true})
	return s
}

// fill fills pages behind page one, which may be nil.
func fill(d Document, front []*part, all []laid, s spacing) [][]*part {
	b := &book{d: d, spacing: s}
	if d.Front != nil {
		b.done = [][]*part{front}
		if len(d.Sections) == 0 {
			return b.done
		}
	}
	b.open()
	for _, l := range all {
		b.section(l)
	}
	return append(b.done, b.sheet)
}

type book struct {
	d       Document
	spacing spacing
	done    [][]*part
	sheet   []*part
	used    float64
	top     bool // nothing but the head stands on the sheet
}

func (b *book) open() {
	head := firstHead(b.d)
	if len(b.done) > 0 {
		head = laterHead(b.d)
	}
	b.sheet, b.used, b.top = []*part{head}, head.height, true
}

func (b *book) room() float64 {
	if b.spacing.short > 0 && len(b.done) == b.spacing.page {
		return b.d.Paper.room() - b.used - b.spacing.short
	}
	return b.d.Paper.room() - b.used
}

func (b *book) next() {
	b.done = append(b.done, b.sheet)
	b.open()
}

func (b *book) put(p *part) {
	b.sheet = append(b.sheet, p)
	b.used += p.height
	b.top = false
}

// space leaves some room, unless at the top of a page.
func (b *book) space(height float64) {
	if !b.top && height > 0 {
		b.put(newPart(height * b.spacing.squeeze))
	}
}

func (b *book) section(l laid) {
	const mayStayFree = 0.2 // of a page, for the sake of a section that is not broken
	fits := b.room() >= aboveTitle+l.title.height+heightOf(l.flows)
	if l.whole && !b.top && !fits && b.room() < mayStayFree*b.d.Paper.room() {
		b.next()
	}
	for i, f := range l.flows {
		company, note := companyOf(l.flows, i), noteOf(l.flows, i)
		if len(f.parts) <= 2 {
			company += note // its first parts are its last
		}
		if i == 0 {
			b.begin(l.title, f, company)
		} else if b.room() < f.before+first(f)+company && !b.top {
			b.next()
		}
		b.flow(f, note)
	}
}

// heightOf is what flows take on one page.
func heightOf(flows []flow) float64 {
	all := 0.0
	for _, f := range flows {
		all += f.before
		if f.head != nil {
			all += f.head.height
		}
		for _, p := range f.parts {
			all += p.height
		}
	}
	return all
}

// companyOf is the height below a flow that must stand on the same page: what follows a paragraph that leads.
func companyOf(flows []flow, i int) float64 {
	if !flows[i].leads || i+1 == len(flows) {
		return 0
	}
	return flows[i+1].before + first(flows[i+1])
}

// noteOf is the height of a short note below a table, which stays with its last rows, or below one part.
func noteOf(flows []flow, i int) float64 {
	const short = 20
	list := flows[i].head == nil && len(flows[i].parts) > 1
	if i+1 == len(flows) || list || !flows[i+1].note || len(flows[i+1].parts) > 1 {
		return 0
	}
	if note := flows[i+1].before + flows[i+1].parts[0].height; note <= short {
		return note
	}
	return 0
}

// begin puts a title where it keeps company with the first parts below it.
func (b *book) begin(title *part, f flow, company float64) {
	need := aboveTitle + title.height + f.before + first(f) + company
	if b.room() < need && !b.top {
		b.next()
	}
	b.space(aboveTitle)
	b.put(title)
}

// enough is the height, in mm, of a part that is company enough by itself.
const enough = 40

// first is the height of what must stay together at the beginning of a flow: two
// parts, unless the first is company enough by itself.
func first(f flow) float64 {
	need := 0.0
	if f.head != nil {
		need = f.head.height
	}
	for i := range min(2, len(f.parts)) {
		if i > 0 && (f.loose || f.parts[0].height > enough) {
			break
		}
		need += f.parts[i].height
	}
	return need
}

// flow puts its parts, where there is room for the first of them. note is the height of what stays with the last.
func (b *book) flow(f flow, note float64) {
	b.space(f.before)
	if f.head != nil {
		b.put(f.head)
	}
	for i, p := range f.parts {
		if b.room() < keep(f, i, note) && !b.top {
			b.next()
			if f.head != nil {
				b.put(f.head)
			}
		}
		b.put(p)
	}
}

// keep is the height that must be free for part i: the last two stay together, and with a note below them.
func keep(f flow, i int, note float64) float64 {
	need := f.parts[i].height
	switch i {
	case len(f.parts) - 2:
		if need > enough {
			break
		}
		need += f.parts[i+1].height + note
	case len(f.parts) - 1:
		need += note
	}
	return need
}
