package main

import (
	"github.com/spf13/cobra"

	"loopwitness/checks"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/words/languages"
	"loopwitness/report/labels"
)

func newSiteLabels(s streams) *cobra.Command {
	var dir, paper, zones, out string
	cmd := &cobra.Command{
		Use:   "labels",
		Short: "Write sheets of labels for cables and terminals",
		Long: "Write a PDF of labels, 64 mm × 33 mm, with marks where they are cut: for each zone both ends of its\n" +
			"cable and its terminal, with number, name, resistors, and the cores as they were seen at the newest visit\n" +
			"that measured its cable. Print it at 100 %.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			f := job.At(dir)
			st, err := f.Site()
			if err != nil {
				return advised(f, err)
			}
			size, err := labels.PaperOf(paper)
			if err != nil {
				return err
			}
			var picked []int
			if zones != "" {
				if picked, err = labels.Pick(st, zones); err != nil {
					return err
				}
			}
			seen, err := cablesSeen(f)
			if err != nil {
				return err
			}
			pdf, err := labels.Sheets(st, picked, seen, size, languages.OfSite(st))
			if err != nil {
				return err
			}
			if out == "" {
				out = f.LabelsPath()
			}
			if err := atomicfile.Replace(out, pdf, 0o600); err != nil {
				return err
			}
			s.say("%s written.", out)
			return nil
		},
	}
	jobFlag(cmd, &dir)
	cmd.Flags().StringVar(&paper, "paper", "a4", "a4 or letter")
	cmd.Flags().StringVar(&zones, "zones", "", "of these zones only, for example 1-5,7")
	cmd.Flags().StringVar(&out, "out", "", "the file to write (default labels.pdf in the job folder)")
	return cmd
}

// cablesSeen is what was seen of the cables of a job, by the number of their zones, at the
// newest visit at which they were looked at. A journal that cannot be read says nothing here.
func cablesSeen(f job.Folder) (map[int]checks.CableSeen, error) {
	seen := map[int]checks.CableSeen{}
	visits, err := f.Visits()
	if err != nil {
		return nil, err
	}
	for _, v := range visits {
		r, err := v.Record()
		if err != nil || r.Discarded() != nil {
			continue
		}
		for _, o := range r.Outcomes() {
			if c := o.Cable(); c != nil {
				seen[o.Step().Zone] = c.Is
			}
		}
	}
	return seen, nil
}
