package programme

import (
	"embed"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"

	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/site"
)

//go:embed checklists/*.yaml
var builtIn embed.FS

// Checklist is what is looked at and handed over at a kind of visit. Looks are what is looked
// at of each detector of a kind.
type Checklist struct {
	Inspection, HandOver []Item
	Looks                map[site.DetectorKind][]Item
}

// Item is one line of a checklist. Text is that of a company's own list; our own items
// have their sentence in each language. For names the sites that it concerns:
// "monitored", "powered", "battery", "pack" (behind a converter), "sounder", or "" for all.
//
// Value is what is typed beside it, "" for nothing; where it is Optional, nothing needs to be.
type Item struct {
	ID        ItemCode
	Text, For string
	Value     ValueKind
	Optional  bool
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

// further are lines that a company's list may name and ours do not: what they ask is measured,
// or stands beside another line.
var further = []ItemCode{"adapter", "adapter-still", "path-power", "clock"}

// ours are our own lines by their codes, with what is typed beside them.
var ours = sync.OnceValue(func() map[ItemCode]Item {
	all := map[ItemCode]Item{ItemApart: {ID: ItemApart}}
	for _, code := range further {
		all[code] = Item{ID: code}
	}
	add := func(items []Item) {
		for _, item := range items {
			all[item.ID] = item
		}
	}
	for _, kind := range VisitKinds {
		name, data := BuiltInChecklist(kind)
		list, err := readChecklist(name, data, anything)
		if err != nil {
			panic(err) // an embedded file that cannot be read cannot be built
		}
		add(list.Inspection)
		add(list.HandOver)
	}
	for _, items := range builtInLooks() {
		add(items)
	}
	return all
})

func anything(code ItemCode) (Item, bool) { return Item{ID: code}, true }

// Items are the codes of our own checklists.
var Items = sync.OnceValue(func() map[ItemCode]bool {
	codes := map[ItemCode]bool{}
	for code := range ours() {
		codes[code] = true
	}
	return codes
})

// ReadChecklist reads a checklist file; name is how errors call it. An item of ours
// needs no text. All that is wrong is one *strictyaml.Problems.
func ReadChecklist(name string, data []byte) (Checklist, error) {
	list, err := readChecklist(name, data, func(c ItemCode) (Item, bool) {
		item, is := ours()[c]
		return item, is
	})
	if err != nil {
		return list, err
	}
	looks := maps.Clone(builtInLooks())
	maps.Copy(looks, list.Looks)
	list.Looks = looks
	return list, nil
}

// builtInLooks are our own lists of what is looked at of each kind of detector.
var builtInLooks = sync.OnceValue(func() map[site.DetectorKind][]Item {
	data, err := builtIn.ReadFile("checklists/detectors.yaml")
	if err == nil {
		var list Checklist
		if list, err = readChecklist("detectors.yaml", data, anything); err == nil {
			return list.Looks
		}
	}
	panic(err) // an embedded file that cannot be read cannot be built
})

func readChecklist(name string, data []byte, known func(ItemCode) (Item, bool)) (Checklist, error) {
	r, top, err := strictyaml.Parse(name, data, false, "inspection", "handover", "detectors")
	if err != nil {
		return Checklist{}, err
	}
	seen := map[ItemCode]bool{}
	list := Checklist{Inspection: readItems(r, top.List("inspection"), seen, known),
		HandOver: readItems(r, top.List("handover"), seen, known)}
	if top.Written("detectors") {
		list.Looks = map[site.DetectorKind][]Item{}
		kinds := r.Fields(top.Node("detectors"), "detectors", site.Kinds...)
		for _, kind := range site.Kinds {
			if kinds.Written(kind) { // one without lines switches ours off
				list.Looks[site.DetectorKind(kind)] = readItems(r, kinds.List(kind), map[ItemCode]bool{}, known)
			}
		}
	}
	return list, r.Err()
}

// readItems reads the lines of one list; seen are those of lists beside which none may stand
// twice.
func readItems(r *strictyaml.Reader, nodes []*yaml.Node, seen map[ItemCode]bool,
	known func(ItemCode) (Item, bool)) []Item {
	var items []Item
	for _, node := range nodes {
		f := r.Fields(node, "item", "id", "text", "for", "value", "optional")
		item := Item{ID: ItemCode(f.Need("id", "a short name, unique in the file")), Text: f.Text("text"), For: f.Text("for"),
			Value: ValueKind(f.Text("value")), Optional: f.Text("optional") == "yes"}
		if item.Text == "" {
			like, is := known(item.ID)
			if !is {
				f.Need("text", "what must be true, as a sentence")
			}
			if !f.Written("value") { // our sentence asks for what it asks for
				item.Value, item.Optional = like.Value, like.Optional
			}
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
		if item.Value != "" && !slices.Contains(ValueKinds, string(item.Value)) {
			r.Problem(f.Node("value"), fmt.Sprintf("%q is no kind of value", item.Value),
				"one of: "+strings.Join(ValueKinds, ", "))
		}
		if optional := f.Text("optional"); optional != "" && optional != "no" && (optional != "yes" || item.Value == "") {
			r.Problem(f.Node("optional"), fmt.Sprintf("optional: %s", optional), "yes or no, beside a value")
		}
		items = append(items, item)
	}
	return items
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
