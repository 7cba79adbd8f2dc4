package main

import (
	"encoding/json"
	"fmt"

	"github.com/spf13/cobra"

	"loopwitness/checks"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/site"
)

func newLimits(s streams) *cobra.Command {
	var dir string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "limits",
		Short: "Show every threshold: its value, where it comes from, and what it may cause",
		Long: `Show every threshold that anything is held against: its value, how it is known, the
key of a site file that takes its place, and the outcome that it may cause alone.
What nobody looked up never causes a fail by itself. Voltages are those of one cell.
With --job, what the site file declares stands beside it.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			var st *site.Site
			if c.Flags().Changed("job") {
				f := job.At(dir)
				var err error
				if st, err = f.Site(); err != nil {
					return advised(f, err)
				}
			}
			rows := limitRows(st)
			if asJSON {
				enc := json.NewEncoder(s.out)
				enc.SetIndent("", "  ")
				return enc.Encode(rows)
			}
			return showLimits(s, rows, st)
		},
	}
	jobFlag(cmd, &dir)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

// limitRow is a threshold as the command prints it.
type limitRow struct {
	ID       string  `json:"id"`
	Value    float64 `json:"value"`
	Unit     string  `json:"unit,omitempty"`
	Known    string  `json:"known"`
	Source   string  `json:"source,omitempty"`
	Key      string  `json:"key,omitempty"`
	May      string  `json:"may_cause"`
	Declared string  `json:"declared,omitempty"` // in the site file, as typed
}

func limitRows(st *site.Site) []limitRow {
	var out []limitRow
	for _, t := range checks.Thresholds() {
		row := limitRow{ID: t.ID, Value: t.Value, Unit: t.Unit, Known: string(t.Known), Source: t.Source, Key: t.Key,
			May: string(t.May)}
		if st != nil && t.Key != "" {
			row.Declared, _ = st.Written(t.Key)
		}
		out = append(out, row)
	}
	return out
}

func showLimits(s streams, rows []limitRow, st *site.Site) error {
	table := [][]string{{"Threshold", "Value", "May cause", "Known", "Key of the site file"}}
	if st != nil {
		table[0] = append(table[0], "Declared")
	}
	for _, r := range rows {
		value := fmt.Sprintf("%.4g", r.Value)
		if r.Unit != "" {
			value += " " + r.Unit
		}
		known := r.Known
		if r.Source != "" {
			known += ": " + r.Source
		}
		line := []string{r.ID, value, r.May, known, dash(r.Key)}
		if st != nil {
			line = append(line, dash(screen.Clean(r.Declared)))
		}
		table = append(table, line)
	}
	if err := s.wideTable(table, 60); err != nil {
		return err
	}
	s.say("")
	s.wrapped("“holds” and “fail”: a published value. “undecided”: what is only usual never fails anything alone; " +
		"where it counted, the certificate says so as a limitation. A limit that the site file declares may fail: " +
		"it is the installer's own.")
	return nil
}
