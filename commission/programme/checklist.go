package programme

import (
	"embed"
	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/site"
)

//go:embed checklists/*.yaml
var builtIn embed.FS

// Checklist is what is looked at and handed over at a kind of visit.
type Checklist struct{ Inspection, HandOver []Item }

// Item is one line of a checklist. For names the sites that it concerns:
// "monitored", "powered", "battery", "sounder", or "" for all.
type Item struct{ ID, Text, For string }

var concerns = []string{"monitored", "powered", "battery", "sounder"}

// BuiltInChecklist is the file that comes with the tool for a kind of visit.
func BuiltInChecklist(kind VisitKind) (name string, data []byte) {
	name = string(kind) + ".yaml"
	data, err := builtIn.ReadFile("checklists/" + name)
	if err != nil {
		panic(err) // a kind without its embedded file cannot be built
	}
	return name, data
}

// ReadChecklist reads a checklist file; name is how errors call it. All that
// is wrong is one *strictyaml.Problems.
func ReadChecklist(name string, data []byte) (Checklist, error) {
	r, top, err := strictyaml.Parse(name, data, false, "inspection", "handover")
	if err != nil {
		return Checklist{}, err
	}
	seen := map[string]bool{}
	read := func(key string) (items []Item) {
		for _, node := range top.List(key) {
			f := r.Fields(node, "item", "id", "text", "for")
			item := Item{f.Need("id", "a short name, unique in the file"), f.Need("text", "what must be true, as a sentence"), f.Text("for")}
			if seen[item.ID] {
				r.Problem(f.Where("id"), fmt.Sprintf("item %q stands twice", item.ID), "give each its own id")
			}
			seen[item.ID] = true
			if strings.ContainsAny(item.ID, "/* ") {
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
		return s.Supply.Battery.Chemistry != "none"
	case "sounder":
		return s.Sounder() != nil
	}
	return true
}
