package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/site"
)

func newSiteShow(s streams) *cobra.Command {
	var dir string
	cmd := &cobra.Command{
		Use:   "show",
		Short: "Show the zone schedule as a table",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			f := job.At(dir)
			st, err := f.Site()
			if err != nil {
				return advised(f, err)
			}
			if err := showSite(s, st); err != nil {
				return err
			}
			return showLearnt(s, f, st)
		},
	}
	jobFlag(cmd, &dir)
	return cmd
}

func showSite(s streams, st *site.Site) error {
	s.say("%s, %s\n", typedName(st.Premises.Name), typedName(st.Reference))
	rows := [][]string{{"Point", "Detector", "Kind", "Zone", "Wiring", "Address", "Power"}}
	st.Each(func(p site.Point, z *site.Zone, d *site.Detector) {
		rows = append(
			rows,
			[]string{string(p), typedName(d.Name), string(z.Kind), fmt.Sprintf("%d %s", z.Number, typedName(z.Name)),
				wiringOf(z), z.Address, powerOf(d)},
		)
	})
	if err := s.table(rows); err != nil {
		return err
	}
	if len(st.Outputs) == 0 {
		return nil
	}
	s.say("")
	rows = [][]string{{"Output", "Kind", "Where", "Address", "Current", "Follows"}}
	for _, o := range st.Outputs {
		follows := strings.Trim(fmt.Sprint(o.Follows), "[]")
		if follows == "" {
			follows = "–"
		}
		rows = append(rows,
			[]string{typedName(o.Name), string(o.Kind), dash(typedName(o.Location)), dash(o.Address),
				dash(o.Current.Text), follows})
	}
	return s.table(rows)
}

// showLearnt shows the photographs that were taken while the site was learnt.
func showLearnt(s streams, f job.Folder, st *site.Site) error {
	all, err := f.Learnt()
	if err != nil || len(all) == 0 {
		return err
	}
	in, err := f.LearntTakenIn()
	if err != nil {
		return err
	}
	s.say("")
	rows := [][]string{{"Photograph", "Shows", "Detector", "Address", "Caption", "In visit"}}
	for _, p := range all {
		rows = append(rows, []string{p.Name, dash(string(p.About(st))), dash(typedName(p.Detector)), typedName(p.Address),
			dash(typedName(p.Caption)), dash(in[p.SHA256])})
	}
	return s.table(rows)
}

func wiringOf(z *site.Zone) string {
	text := string(z.Wiring)
	if z.EndOfLine.Given() {
		text += " " + z.EndOfLine.Text
	}
	if z.ContactResistor.Given() {
		text += " + " + z.ContactResistor.Text
	}
	return text
}

func powerOf(d *site.Detector) string {
	if d.Power == nil {
		return "–"
	}
	text := d.Power.Current.Text
	if d.Power.CableLength.Given() {
		text += ", " + d.Power.CableLength.Text
	}
	if d.Power.Conductor.Text != "" {
		text += " " + d.Power.Conductor.Text
	}
	return text
}

func dash(text string) string {
	if text == "" {
		return "–"
	}
	return text
}
