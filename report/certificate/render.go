package certificate

import (
	"fmt"
	"strconv"
	"time"

	"github.com/johnfercher/maroto/v2"
	"github.com/johnfercher/maroto/v2/pkg/components/page"
	"github.com/johnfercher/maroto/v2/pkg/config"
	"github.com/johnfercher/maroto/v2/pkg/core"
	"github.com/johnfercher/maroto/v2/pkg/core/entity"
	"github.com/johnfercher/maroto/v2/pkg/props"

	"loopwitness/commission/words"
	"loopwitness/report/finish"
)

const (
	footHeight  = 9.0
	laterHeight = 8.0
)

// MostPages is how many pages a certificate has at most.
const MostPages = 1500

// TooManyPages is the error that a document has so many.
type TooManyPages int

func (n TooManyPages) Error() string { return strconv.Itoa(int(n)) }

// shifted draws further down.
func shifted(draw func(core.Provider, *entity.Cell), by float64) func(core.Provider, *entity.Cell) {
	return func(p core.Provider, cell *entity.Cell) {
		lower := cell.Copy()
		lower.Y += by
		draw(p, &lower)
	}
}

// Render lays a document out and draws it as a PDF. at is the date that the
// file says it was made. More than MostPages are an error: TooManyPages.
func Render(d Document, at time.Time) ([]byte, error) {
	pdf, lines, marks, err := drawn(d, at)
	if err != nil {
		return nil, err
	}
	finished, err := finish.Finish(pdf, finish.Document{Faces: written(), Lines: lines, Bookmarks: marks, Tool: d.Tool,
		Language: d.Language.Tag(), Made: at})
	if err != nil {
		return nil, fmt.Errorf("draw the certificate: %w", err)
	}
	return finished, nil
}

// drawn is what the library draws, by page what is drawn over it, and where sections begin. What it took to draw it is
// let go here, before the file is taken apart again.
func drawn(d Document, at time.Time) (pdf []byte, lines map[int][]byte, marks []finish.Bookmark, err error) {
	pages, lines, marks := marotoPages(d)
	if len(pages) > MostPages {
		return nil, nil, nil, TooManyPages(len(pages))
	}
	inOrder()
	m := maroto.New(settings(d, at))
	m.AddPages(pages...)
	doc, err := m.Generate()
	if err != nil {
		return nil, nil, nil, fmt.Errorf("draw the certificate: %w", err)
	}
	return onceNamed(doc.GetBytes()), lines, marks, nil
}

func settings(d Document, at time.Time) *entity.Config {
	plain := faces()[false][0]
	return config.NewBuilder().WithDimensions(d.Paper.size()).WithMaxGridSize(int(body)).
		WithLeftMargin(d.Paper.margin()).WithRightMargin(d.Paper.margin()).WithTopMargin(marginTop).WithBottomMargin(2).
		WithCustomFonts(customFonts()).WithDefaultFont(&props.Font{Family: plain.family, Size: sizeText}).
		WithTitle(legible(d.Title+" "+d.Number, plain), true).WithAuthor(legible(d.Installer, plain), true).
		WithCreationDate(at).WithSequentialMode().Build()
}

// marotoPages are the pages as the library draws them, by page what is drawn over them in
// lines, and where sections begin.
func marotoPages(d Document) (out []core.Page, lines map[int][]byte, marks []finish.Bookmark) {
	sheets := paginate(d)
	lines = map[int][]byte{}
	for i, sheet := range sheets {
		p := page.New()
		used := 0.0
		for _, one := range sheet {
			p.Add(one.row())
			if one.begins != "" {
				marks = append(marks, finish.Bookmark{Title: one.begins, Page: i, Down: marginTop + used})
			}
			for _, drawn := range one.inks {
				lines[i] = append(lines[i], drawn.operators(d.Paper, used)...)
			}
			for _, drawn := range one.vectors {
				lines[i] = append(lines[i], drawn.operators(d.Paper, used)...)
			}
			used += one.height
		}
		filler := newPart(d.Paper.usable() - footHeight - used)
		p.Add(filler.row(), foot(d, i+1, len(sheets)).row())
		out = append(out, p)
	}
	return out, lines, marks
}

// firstHead stands on the first page, whether it is page one or sections begin below it.
func firstHead(d Document) *part { return frontHead(d, plan{}) }

func noticeHeight(d Document) float64 {
	if len(d.Notices) == 0 {
		return 0
	}
	return 7.5
}

// noticeWidth is what they take beside each other.
func noticeWidth(d Document) float64 {
	wide := 0.0
	for _, n := range d.Notices {
		wide += one(n, sizeSmall, true, body-4).width + 6
	}
	return wide - 2
}

func drawNotices(p *part, d Document, x, y float64) {
	for _, n := range d.Notices {
		l := one(n, sizeSmall, true, body-x-4)
		p.fill(x, y+1.4, l.width+4, 4.4, toneInk[Warn])
		p.text(l, x+2, y+2.1, sizeSmall, white)
		x += l.width + 6
	}
}

// laterHead has notices between the names, where there is room, else below them.
func laterHead(d Document) *part {
	installer := one(d.Installer, sizeSmall, true, 66)
	below := noticeHeight(d)
	x := installer.width + 3
	title := one(d.Title+", "+d.Number, sizeSmall, false, 112)
	fits := func() bool { return x+noticeWidth(d) <= body-title.width-2 }
	if below > 0 && !fits() {
		title = one(d.Title, sizeSmall, false, 112) // the number stands at the foot, too
	}
	if below > 0 && fits() {
		below = 0
	}
	p := newPart(laterHeight + below)
	p.text(installer, 0, 0, sizeSmall, d.accent())
	p.right(title, body, 0, sizeSmall, grey)
	p.fill(0, 4.6, body, 0.5, d.accent())
	if below > 0 {
		drawNotices(p, d, 0, 4.6)
	} else {
		drawNotices(p, d, x, -2.2)
	}
	return p
}

func foot(d Document, number, of int) *part {
	p := newPart(footHeight)
	p.rule(1.5, hair)
	p.text(one(d.Number, sizeSmall, false, 64), 0, 3, sizeSmall, grey)
	if d.Journal != "" {
		const digits = 32 // enough that nobody makes another record with the same
		begins := words.JournalBegins{Digits: grouped(d.Journal[:min(digits, len(d.Journal))])}
		l := one(d.Language.Say(begins), sizeSmall, false, 80)
		p.text(l, (body-l.width)/2+10, 3, sizeSmall, grey)
	}
	page := d.Language.Say(words.PageOf{Page: number, Pages: of})
	p.right(one(page, sizeSmall, false, 60), body, 3, sizeSmall, grey)
	return p
}
