package programme

import (
	"embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/site"
)

//go:embed checklists/*.yaml
var builtIn embed.FS

// Checklist is what is looked at and handed over at a kind of visit.
type Checklist struct{ Inspection, HandOver []Item }

// Item is one line of a checklist. Text is that of a company's own list; our own items
// have their sentence in each language. For names the sites that it concerns:
// "monitored", "powered", "battery", "pack" (behind a converter), "sounder", or "" for all.
type Item struct {
	ID        ItemCode
	Text, For string
}

var concerns = []string{"monitored", "powered", "battery", "pack", "sounder"}

// BuiltInChecklist is the file that comes with the tool for a kind of visit.
func BuiltInChecklist(kind VisitKind) (name string, data []byte) {
	name = string(kind) + ".yaml"
	data, err := builtIn.ReadFile("checklists/" + name)
	if err != nil {
		panic(err) // a kind without its embedded file cannot be built
	}
	return name, data
}

// Items are the codes of our own checklists.
var Items = sync.OnceValue(func() map[ItemCode]bool {
	ours := map[ItemCode]bool{ItemApart: true}
	for _, kind := range VisitKinds {
		name, data := BuiltInChecklist(kind)
		list, err := readChecklist(name, data, func(ItemCode) bool { return true })
		if err != nil {
			panic(err) // an embedded file that cannot be read cannot be built
		}
		for _, item := range slices.Concat(list.Inspection, list.HandOver) {
			ours[item.ID] = true
		}
	}
	return ours
})

// ReadChecklist reads a checklist file; name is how errors call it. An item of ours
// needs no text. All that is wrong is one *strictyaml.Problems.
func ReadChecklist(name string, data []byte) (Checklist, error) {
	return readChecklist(name, data, func(c ItemCode) bool { return Items()[c] })
}

func readChecklist(name string, data []byte, ours func(ItemCode) bool) (Checklist, error) {
	r, top, err := strictyaml.Parse(name, data, false, "inspection", "handover")
	if err != nil {
		return Checklist{}, err
	}
	seen := map[ItemCode]bool{}
	read := func(key string) (items []Item) {
		for _, node := range top.List(key) {
			f := r.Fields(node, "item", "id", "text", "for")
			item := Item{ItemCode(f.Need("id", "a short name, unique in the file")), f.Text("text"), f.Text("for")}
			if item.Text == "" && !ours(item.ID) {
				f.Need("text", "what must be true, as a sentence")
			}
			if seen[item.ID] {
				r.Problem(f.Where("id"), fmt.Sprintf("item %q stands twice", item.ID), "give each its own id")
			}
			seen[item.ID] = true
			if strings.ContainsAny(string(item.ID), "/* ") {
				r.Problem(f.Where("id"), fmt.Sprintf("id %q", item.ID), "letters, digits and hyphens")
			}
			if item.For != "" && !slices.Contains(concerns, item.For) {
				r.Problem(f.Node("for"), fmt.Sprintf("%q is no kind of site", item.For), "one of: "+strings.Join(concerns, ", "))
			}
			items = append(items, item)
		}
		return items
	}
	list := Checklist{read("inspection"), read("handover")}
	return list, r.Err()
}

// concernsSite tells whether an item applies to what is fitted.
func (i Item) concernsSite(s *site.Site) bool {
	switch i.For {
	case "monitored":
		return s.Monitoring.Centre != ""
	case "powered":
		return s.HasPowered()
	case "battery":
		return s.Supply.HasBattery()
	case "pack":
		return s.Supply.HasBattery() && !s.Supply.Battery.Seen()
	case "sounder":
		return s.Sounder() != nil
	}
	return true
}
