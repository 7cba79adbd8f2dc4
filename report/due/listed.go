package due

import (
	"time"

	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// List is a report as data for other programs. Days are year-month-day, "" where they are not
// known; codes stand beside their sentences.
type List struct {
	On          string             `json:"on"`
	Overdue     bool               `json:"overdue"`
	Systems     []ListedSystem     `json:"systems"`
	Outstanding []ListedMatter     `json:"outstanding"`
	Batteries   []ListedBattery    `json:"batteries"`
	Instruments []ListedInstrument `json:"instruments"`
	NotRead     []ListedTrouble    `json:"not_read"`
}

// The items of a list.
type (
	ListedSystem struct {
		Folder    string         `json:"folder"`
		Reference string         `json:"reference"`
		Premises  string         `json:"premises"`
		Address   string         `json:"address,omitempty"`
		Interval  string         `json:"maintenance_interval,omitempty"` // as typed, or none
		Last      string         `json:"last_visit_kind,omitempty"`
		From      string         `json:"last_visit,omitempty"`
		Due       string         `json:"due,omitempty"`
		Overdue   bool           `json:"overdue"`
		Open      string         `json:"open_visit,omitempty"`
		Findings  map[string]int `json:"outstanding"` // by severity
	}
	ListedMatter struct {
		Folder   string `json:"folder"`
		Visit    string `json:"document"`
		ID       string `json:"id"`
		Code     string `json:"code"`
		Severity string `json:"severity"`
		Finding  bool   `json:"finding"` // else a limitation
		About    string `json:"about"`
		Text     string `json:"text"`
		Action   string `json:"action,omitempty"`
		By       string `json:"by,omitempty"`
		Who      string `json:"who,omitempty"`
		Overdue  bool   `json:"overdue"`
	}
	ListedBattery struct {
		Folder    string `json:"folder"`
		Chemistry string `json:"chemistry"`
		Fitted    string `json:"fitted,omitempty"`
		Until     string `json:"life_until,omitempty"`
		ByMaker   bool   `json:"life_by_maker"`
		Past      bool   `json:"past"`
	}
	ListedInstrument struct {
		Name    string `json:"name"`
		Until   string `json:"calibrated_until,omitempty"`
		Systems int    `json:"systems"`
		Overdue bool   `json:"overdue"`
	}
	ListedTrouble struct {
		Path string `json:"path"`
		Why  string `json:"why"`
	}
)

// Listed is the report as data, with sentences of a language.
func (r *Report) Listed(language words.Language) List {
	out := List{On: written(r.On), Overdue: r.Overdue(), Systems: []ListedSystem{}, Outstanding: []ListedMatter{},
		Batteries: []ListedBattery{}, Instruments: []ListedInstrument{}, NotRead: []ListedTrouble{}}
	for _, s := range r.Systems {
		interval := s.Maintenance.Interval.Text
		if s.Maintenance.None {
			interval = site.None
		}
		out.Systems = append(out.Systems, ListedSystem{s.Folder, s.Reference, s.Name, s.Address, interval, string(s.Counted),
			written(s.From), written(s.Due), Over(r.On, s.Due), s.Open, s.Findings})
	}
	for _, m := range r.Outstanding {
		action := ""
		if m.Action != "" {
			action = language.Say(m.Action)
		}
		out.Outstanding = append(out.Outstanding, ListedMatter{m.System, m.Visit, m.ID, m.Of.Code(), m.Severity, m.Finding,
			language.Say(m.Of.Subject), language.Say(words.Matter{Of: m.Of}), action, written(m.By), m.Who, Over(r.On, m.By)})
	}
	for _, b := range r.Batteries {
		out.Batteries = append(out.Batteries, ListedBattery{b.System, b.Chemistry, written(b.Fitted), written(b.Until),
			b.ByMaker, Over(r.On, b.Until)})
	}
	for _, i := range r.Instruments {
		out.Instruments = append(out.Instruments, ListedInstrument{i.Name, written(i.Until), i.Systems, Over(r.On, i.Until)})
	}
	for _, t := range r.Troubles {
		out.NotRead = append(out.NotRead, ListedTrouble{t.Path, t.Why.Error()})
	}
	return out
}

func written(day time.Time) string {
	if day.IsZero() {
		return ""
	}
	return day.Format(time.DateOnly)
}
