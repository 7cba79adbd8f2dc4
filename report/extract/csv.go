package extract

import (
	"encoding/csv"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/kit/screen"
	"loopwitness/report/verify"
)

// columns of the CSV: a line for each thing that was tested, measured or found.
var columns = []string{"check", "certificate", "premises", "visit", "begun", "simulated", "section", "id", "name",
	"value", "unit", "uncertainty", "limit", "verdict", "remark"}

// WriteCSV writes the record as a table (RFC 4180), with a head.
func (r Data) WriteCSV(to io.Writer) error {
	w := csv.NewWriter(to)
	w.UseCRLF = true
	t := table{r: r, w: w}
	if err := w.Write(columns); err != nil {
		return err
	}
	t.line("result", "", r.Visit.Result, nil, "", nil, "", r.Visit.Result, "")
	for _, d := range r.Detectors {
		t.detector("detector", d)
	}
	for _, d := range r.OnStandby {
		t.detector("on standby", d)
	}
	for _, v := range r.Readings {
		limit := ""
		if v.LowerVolt > 0 || v.UpperVolt != nil {
			limit = "from " + number(&v.LowerVolt)
		}
		if v.UpperVolt != nil {
			limit += " to " + number(v.UpperVolt)
		}
		t.line("supply", "", v.Text, v.ValueVolt, "V", v.Uncertainty, limit, v.Verdict, v.Remark)
	}
	for _, f := range r.Faults {
		t.line("supply fault", "", f.Fault, f.ReportedSecond, unitIf(f.ReportedSecond, "s"), nil, number(f.LimitSecond),
			f.Shown, f.Remark)
	}
	if s := r.Restart; s != nil {
		t.line("restart", "", "cold restart", s.TookSecond, unitIf(s.TookSecond, "s"), nil, number(&s.LimitSecond),
			s.Verdict, "")
	}
	for _, o := range r.Outputs {
		id := ""
		if o.Zone > 0 {
			id = fmt.Sprint("zone ", o.Zone)
		}
		t.line("output", id, o.Name, o.HeardSecond, unitIf(o.HeardSecond, "s"), nil, "", o.Verdict,
			strings.Join(o.Remarks, "; "))
	}
	for _, s := range r.Alarm {
		for _, i := range s.Instants {
			t.line("alarm", s.Step, i.What, i.SinceSecond, unitIf(i.SinceSecond, "s"), i.Uncertainty, i.Limit, i.Verdict, i.Said)
		}
	}
	for _, c := range r.Checklist {
		t.line("checklist", c.Stage, c.Text, nil, "", nil, "", c.Result, c.Remark)
	}
	for _, c := range r.Cables {
		var loop *float64
		if c.Loop != nil {
			loop = c.Loop.Ohm
		}
		t.line("cable", fmt.Sprint("zone ", c.Zone), strings.Join(c.Perhaps, "; "), loop, unitIf(loop, "ohm"), nil, "",
			c.Continuity, c.Label)
	}
	for _, c := range r.Computed {
		t.line("computed", "", c.About, nil, "", nil, c.Limit, c.Verdict, c.Result+c.Missing)
	}
	for _, f := range r.Findings {
		t.line("finding", f.ID, f.About, nil, "", nil, "", f.Severity, f.Text+"; "+f.Remedy)
	}
	for _, f := range r.Limitations {
		t.line("limitation", f.ID, f.About, nil, "", nil, "", f.Severity, f.Text+"; "+f.Remedy)
	}
	for _, f := range r.Notes {
		t.line("note", f.ID, f.About, nil, "", nil, "", "", f.Text+"; "+f.Remedy)
	}
	for _, n := range r.Names {
		t.line("name", n.Role, n.Name, nil, "", nil, "", "", n.Position)
	}
	for _, p := range r.Photographs {
		t.line("photograph", p.Name, p.About, nil, "", nil, "", "", p.Caption)
	}
	w.Flush()
	return w.Error()
}

type table struct {
	r Data
	w *csv.Writer
}

func (t table) detector(section string, d Detector) {
	remarks := d.Remarks
	if d.NotTimed != "" {
		remarks = append([]string{"not timed: " + d.NotTimed}, remarks...)
	}
	t.line(section, d.Point, d.Name, d.ResponseSecond, unitIf(d.ResponseSecond, "s"), d.UncertaintySecond,
		number(&d.LimitSecond), d.Verdict, strings.Join(remarks, "; "))
}

func (t table) line(section, id, name string, value *float64, unit string, uncertainty *float64,
	limit, verdict, remark string) {
	r := t.r
	check, certificate := "none", ""
	if r.Check != nil {
		check = r.Check.Outcome
	}
	if check != string(verify.Failed) && r.contradicts() {
		check = contradicts
	}
	if r.Certificate != nil {
		certificate = r.Certificate.Number
	}
	cells := []string{check, certificate, r.Site.Premises, r.Visit.Kind, r.Visit.Begun,
		strconv.FormatBool(r.Visit.Simulated), section, id, name, number(value), unit, number(uncertainty), limit,
		verdict, remark}
	for i := range cells {
		cells[i] = inert(cells[i])
	}
	_ = t.w.Write(cells) // its error is kept for Flush
}

// contradicts stands in the place of an outcome where the seal may hold, and the record
// contradicts itself.
const contradicts = "contradicts"

func (r Data) contradicts() bool {
	code := judge.Contradicted{}.Code()
	return slices.ContainsFunc(r.Limitations, func(f Finding) bool { return f.Code == code })
}

func number(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'f', -1, 64)
}

func unitIf(v *float64, unit string) string {
	if v == nil {
		return ""
	}
	return unit
}

var (
	plainNumber = regexp.MustCompile(`^[+-]?[0-9]+([.][0-9]+)?$`)
	// formula begins what a spreadsheet may compute, or worse (as OWASP has it under "CSV
	// injection", from memory), also in letters of full width and behind blanks.
	formula = regexp.MustCompile(`^[\s\p{Z}]*[=+\-@＝＋－＠]`)
	// another begins a further cell where semicolons part them, as in half of Europe.
	another = regexp.MustCompile(`;[\s\p{Z}]*[=+\-@＝＋－＠]`)
)

// inert keeps a text from being taken for a formula by a spreadsheet: an apostrophe is put
// before what begins like one. What would disturb a terminal is made visible.
func inert(cell string) string {
	cell = screen.Clean(cell)
	if plainNumber.MatchString(cell) {
		return cell
	}
	if formula.MatchString(cell) {
		cell = "'" + cell
	}
	return another.ReplaceAllStringFunc(cell, func(found string) string { return ";'" + found[1:] })
}
