package certificate

import (
	"fmt"
	"slices"
	"strings"
)

// Edition numbers what pages look like and say, in each language, for the same
// assessment. Until a first release there is one, which is redrawn freely; after it,
// every change of what is written or drawn raises it. Only the present one is drawn:
// pages of another are never said to differ, they are not compared.
const Edition = 1

// Stated is one thing that a certificate states. Key names it within an edition:
// the section, what it is about, and for a table the head of the column.
type Stated struct {
	Key  string `json:"key"`
	Text string `json:"text"`
}

// Stated lists all that the document states, in the order of the pages.
func (d Document) Stated() []Stated {
	s := stating{taken: map[string]int{}}
	s.add("number", d.Number)
	for _, text := range d.Dangers {
		s.add("danger", text)
	}
	s.add("title", d.Title)
	s.add("subtitle", d.Subtitle)
	for _, n := range d.Notices {
		s.add("notice", n)
	}
	s.add("result", d.Banner.Word)
	for _, f := range d.Banner.Figures {
		s.add("count/"+f.Label, f.Value)
	}
	s.front(d.Front)
	for _, section := range d.Sections {
		for _, block := range section.Blocks {
			s.block(section.Title, block)
		}
	}
	return s.all
}

// joined puts the parts that are there behind each other.
func joined(separator string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool { return p == "" }), separator)
}

type stating struct {
	all   []Stated
	taken map[string]int
}

// add lists a statement; a key that is taken gets a number.
func (s *stating) add(key, text string) {
	if text == "" {
		return
	}
	s.all = append(s.all, Stated{s.unique(key), text})
}

func (s *stating) unique(key string) string {
	s.taken[key]++
	if n := s.taken[key]; n > 1 {
		return fmt.Sprintf("%s #%d", key, n)
	}
	return key
}

func (s *stating) block(section string, block Block) {
	switch b := block.(type) {
	case Prose:
		s.add(section, b.Text)
	case Pairs:
		for _, p := range b {
			s.add(section+"/"+p.Label, p.Value)
		}
	case Items:
		for _, i := range b {
			s.add(section+"/"+i.Mark, joined(": ", i.Grade, i.About, i.Text, i.Then))
		}
	case Table:
		s.table(section, b)
	case Signatures:
		for _, sig := range b {
			s.add(section+"/"+sig.Role, joined(", ", sig.Instead, sig.Name, sig.Detail))
		}
	case Pictures:
		for _, p := range b {
			s.add(section+"/"+p.Title, p.Text)
		}
	case Code:
		s.block(section, b.Beside)
	case Charts:
		for _, c := range b {
			s.add(section, c.Says)
		}
	case ThenNow:
		s.add(section, b.Says)
		for _, r := range b.Rows {
			s.add(section+"/"+r.Mark, joined(": ", r.Name, r.Text))
		}
	}
}

func (s *stating) table(section string, t Table) {
	for _, row := range t.Rows {
		s.add(section, row.Head)
		about := s.unique(section + "/" + row.Cells[0].Text) // a row's cells stay together
		for i, c := range row.Cells[1:] {
			s.add(about+"/"+t.Columns[i+1].Head, c.Says())
		}
		s.add(about+"/remark", row.Remark)
	}
}

// front is what page one states. A row that has no room is stated: what is drawn follows from all of them.
func (s *stating) front(f *Front) {
	if f == nil {
		return
	}
	for _, of := range f.Facts {
		s.add("front/"+of.Label, joined("; ", of.Value, of.Detail))
	}
	for _, r := range f.List.Rows {
		s.add("front/"+r.Mark, joined(": ", r.Grade, r.About, r.Text, r.Then, r.Whom))
	}
	s.add("front/outstanding", f.List.None)
	if f.Alarm != nil {
		for _, in := range f.Alarm.Instants {
			s.add("front/"+in.Text, in.When)
		}
		s.add("front/alarm", f.Alarm.Says)
	}
	for _, r := range f.Supply.Rows {
		s.add("front/"+r.Name, joined(": ", joined(", ", r.Value, r.Detail), r.Verdict.Text))
	}
	for _, p := range f.Premises.Pairs {
		s.add("front/"+p.Label, p.Value)
	}
	s.add("front/summary", f.Summary)
	s.add("front/caution", f.Caution)
}
