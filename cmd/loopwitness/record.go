package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"loopwitness/commission/kit/screen"
	"loopwitness/report/extract"
	"loopwitness/report/verify"
)

type recordOptions struct {
	format string
	trust  []string
	time   []string
	schema bool
}

func newRecord(s streams) *cobra.Command {
	var o recordOptions
	cmd := &cobra.Command{
		Use:   "record FILE",
		Short: "Print the record of a certificate as JSON or CSV, for another system",
		Long: "Take the record out of a certificate, judge it again, and print it as JSON or CSV. The file is checked as by: loopwitness\n" +
			"verify. What came of that stands in it, and gives the exit status; read it before you believe the rest.\n" + verifyExit,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			switch {
			case o.schema:
				return printSchema(s)
			case len(args) == 0:
				return errors.New("name the file of a certificate")
			}
			return printRecord(s, o, args[0])
		},
	}
	trustFlag(cmd, &o.trust)
	trustTimeFlag(cmd, &o.time)
	cmd.Flags().StringVar(&o.format, "format", "json", "json or csv")
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

func printRecord(s streams, o recordOptions, file string) error {
	if o.format != "json" && o.format != "csv" {
		return fmt.Errorf("%q is no format; take --format json or --format csv", o.format)
	}
	trust, err := anchors(o.trust)
	if err != nil {
		return err
	}
	trustTime, err := anchors(o.time)
	if err != nil {
		return err
	}
	r := checkFile(file, verify.Options{Tool: tool, Trust: trust, TrustTime: trustTime})
	for _, p := range r.Problems {
		fmt.Fprintf(s.err, "%s: %s\n", screen.Clean(file), screen.Clean(p.Text))
	}
	if r.Assessment != nil {
		record := extract.From(r, tool)
		if o.format == "csv" {
			err = record.WriteCSV(s.out)
		} else {
			err = s.json(record)
		}
	}
	return errors.Join(err, outcomeError(map[verify.Outcome]int{r.Outcome: 1}))
}
