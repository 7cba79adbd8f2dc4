package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/record"
	"loopwitness/report/evidence"
	"loopwitness/report/extract"
	"loopwitness/report/verify"
	"loopwitness/report/webpage"
)

type recordOptions struct {
	job, visit string
	format     string
	language   string
	trust      []string
	time       []string
	schema     bool
}

func newRecord(s streams) *cobra.Command {
	var o recordOptions
	cmd := &cobra.Command{
		Use:   "record [FILE]",
		Short: "Print the record of a certificate, or of a visit, as JSON or CSV, or its pages as text in HTML",
		Long: "Take the record out of a certificate, judge it again, and print it as JSON or CSV for other systems, or\n" +
			"as HTML what its pages say, for those who cannot see pages: one file that needs nothing else. The file is checked\n" +
			"as by: loopwitness verify. What came of that stands in it, and gives the exit status; read it before you\n" +
			"believe the rest. With --job it is the record of a visit in a job's folder, finished or not. Nothing\n" +
			"vouches for that, which stands in it: \"check\": null. The exit status is 0 if it was printed.\n" + verifyExit,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			ofVisit := cmd.Flags().Changed("job") || cmd.Flags().Changed("visit")
			switch {
			case o.schema:
				return printSchema(s)
			case o.format != "json" && o.format != "csv" && o.format != "html":
				return fmt.Errorf("%q is no format; take --format json, --format csv or --format html", o.format)
			case o.language != "" && (o.format != "html" || !ofVisit):
				return errors.New("--language is that of the HTML of a visit in a job's folder; that of a certificate has the " +
					"language of its pages, and the other formats have none")
			case ofVisit && len(args) == 0:
				return printVisit(s, o)
			case ofVisit:
				return errors.New("name the file of a certificate, or a job with --job, not both")
			case len(args) == 0:
				return errors.New("name the file of a certificate, or a job with --job")
			}
			return printCertified(s, o, args[0])
		},
	}
	jobFlag(cmd, &o.job)
	cmd.Flags().StringVar(&o.visit, "visit", "", "name of the visit; the newest without it")
	trustFlag(cmd, &o.trust)
	trustTimeFlag(cmd, &o.time)
	cmd.Flags().StringVar(&o.format, "format", "json", "json, csv or html")
	languageFlag(cmd, &o.language, "that of the visit, for its HTML alone")
	cmd.Flags().BoolVar(&o.schema, "schema", false, "print the JSON Schema that the JSON follows")
	return cmd
}

func printSchema(s streams) error {
	schema, err := extract.Schema()
	if err != nil {
		return err
	}
	s.say("%s", schema)
	return nil
}

func (s streams) record(r extract.Data, format string) error {
	if format == "csv" {
		return r.WriteCSV(s.out)
	}
	return s.json(r)
}

// printVisit prints the record of a visit as it stands in the job's folder.
func printVisit(s streams, o recordOptions) error {
	if len(o.trust)+len(o.time) > 0 {
		return errors.New("--trust is about who signed, and a visit in a job's folder is not signed; " +
			"leave it out, or name a certificate")
	}
	f := job.At(o.job)
	v, err := f.Visit(o.visit)
	if err != nil {
		return advised(f, err)
	}
	contents, err := v.Contents()
	if err != nil {
		return err
	}
	if torn := tornJournal(contents); torn != "" {
		fmt.Fprintln(s.err, torn)
	}
	if o.format == "html" {
		return s.pageOfVisit(v, contents, o.language)
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return fmt.Errorf("%s: %w", v.Journal(), err)
	}
	return s.record(extract.From(judge.Without(r, v.Lost(r)...), evidence.Digest(contents.Whole), tool), o.format)
}

// printCertified prints the record in the file of a certificate.
func printCertified(s streams, o recordOptions, file string) error {
	trust, err := anchors(o.trust)
	if err != nil {
		return err
	}
	trustTime, err := anchors(o.time)
	if err != nil {
		return err
	}
	html := o.format == "html"
	r := checkFile(file, verify.Options{Tool: tool, Trust: trust, TrustTime: trustTime, Written: html})
	for _, p := range r.Problems {
		fmt.Fprintf(s.err, "%s: %s\n", screen.Clean(file), screen.Clean(p.Text))
	}
	switch {
	case html && r.Written != nil:
		err = webpage.Write(s.out, *r.Written, origins[r.Outcome])
	case !html && r.Assessment != nil:
		err = s.record(extract.Checked(r, tool), o.format)
	}
	contradicts := 0
	if r.Contradicts {
		contradicts = 1
	}
	return errors.Join(err, outcomeError(map[verify.Outcome]int{r.Outcome: 1}, contradicts))
}
