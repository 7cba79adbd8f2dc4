package certificate

import (
	"loopwitness/commission/kit/colour"
	"loopwitness/commission/kit/logo"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// Tone colours a status; the word beside it always says the same.
type Tone int

// The tones.
const (
	Plain Tone = iota
	Good
	Warn
	Bad
	Quiet
)

// Document is a certificate before it is drawn.
type Document struct {
	Paper     Paper
	Logo      *logo.Logo     // of the company, nil for none
	Colour    *colour.RGB    // of rules and headings, nil for the program's own
	Language  words.Language // of what is drawn beside the texts: the numbers of pages
	Tool      string         // name and version that draws the pages; "" for none
	Installer string         // whose certificate it is
	Number    string         // on every page
	Notices   []string       // on every page: simulated, unsigned
	Dangers   []string       // before all else on the first page
	Journal   string         // SHA-256 of the record, its beginning on every page; "" for none
	Title     string
	Subtitle  string
	Banner    Banner
	Front     *Front // the rest of page one; nil for none, and sections begin below the banner
	Sections  []Section
}

// Banner is the result, first of all.
type Banner struct {
	Tone     Tone
	Sign     Sign
	Word     string
	Sentence string
	Figures  []Figure
}

// Figure is one number of the banner.
type Figure struct{ Value, Label string }

// Section is a heading and what stands under it.
type Section struct {
	Title  string
	Blocks []Block
	Whole  bool // it stays on one page, if that leaves little of another free
	// Elsewhere is said where entries are left out of the pages, since page one shows them whole.
	Elsewhere string
}

// Block is a part of a section.
type Block interface{ block() }

// Prose is a paragraph. One that Leads stays with the block below it.
type Prose struct {
	Text  string
	Quiet bool
	Leads bool
}

// Pairs are labels with values, in two columns.
type Pairs []Pair

// Pair is a label with its value.
type Pair struct{ Label, Value string }

// Items is a list of entries, each with a mark.
type Items []Item

// Item is one entry of a list. Grade stands below the mark, behind its Sign, Then below the text.
type Item struct {
	Mark, Grade string
	Sign        Sign
	Tone        Tone
	About       string
	Text, Then  string
	Front       int // which row of page one's list it is, from 1; 0 for none
}

// Table repeats its head on every page.
type Table struct {
	Columns []Column
	Rows    []Row
	Close   bool // set closer, as one of many rows always is
}

// Column is one column of a table. Its width is in millimetres; a table is 180
// wide.
type Column struct {
	Head, Unit string
	Width      float64
	Right      bool
}

// Row is one row, with a head over it and a remark under it if there are any, both of
// full width.
type Row struct {
	Head   string
	Cells  []Cell
	Remark string
}

// Cell is one cell. A Bar is drawn instead of a text; a Sign stands before it.
type Cell struct {
	Text string
	Tone Tone
	Bold bool
	Sign Sign
	Bar  *Bar
}

// Bar shows a value against its limit, both in the same unit, on a scale that
// ends at Full.
type Bar struct {
	Value, Limit, Full float64
	Tone               Tone
}

// Mark is a place on an axis, with its text.
type Mark struct {
	At   float64
	Text string
}

// Signatures are boxes to sign in.
type Signatures []Signature

// Signature is one box. Drawing is a PNG, Strokes a drawing in lines; both are nil for none, and
// Instead stands in their place.
type Signature struct {
	Role, Name, Detail string
	Instead            string
	Drawing            []byte
	Strokes            *record.Strokes
}

// Pictures are small pictures beside each other, each with its text.
type Pictures []Picture

// Picture is one of them, a JPEG. Title and Text stand below it.
type Picture struct {
	Image       []byte
	Title, Text string
}

// Code is a QR code with pairs beside it.
type Code struct {
	Content string
	Beside  Pairs
}

func (Prose) block()      {}
func (Pairs) block()      {}
func (Items) block()      {}
func (Table) block()      {}
func (Signatures) block() {}
func (Pictures) block()   {}
func (Code) block()       {}
