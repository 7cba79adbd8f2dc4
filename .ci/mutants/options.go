package main

import (
	"errors"
	"flag"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"time"
)

// usual packages, and those whose tests exercise them as well.
var (
	usual = []string{"./checks", "./commission/programme", "./commission/record", "./commission/judge",
		"./commission/listen/...", "./commission/visit"}
	usualOthers = map[string][]string{
		"commission/programme":        {"commission/record", "commission/judge"},
		"commission/record":           {"commission/judge"},
		"commission/listen/keyboard":  {"commission/visit"},
		"commission/listen/simulated": {"commission/visit"},
	}
)

type options struct {
	patterns []string
	choose   *regexp.Regexp // files or functions
	list     bool
	minimum  float64 // percent
	must     []string
	sample   int // mutants a package; 0 for all
	with     map[string][]string
	allowed  string
	floor    time.Duration
}

func readOptions(args []string) (options, error) {
	o := options{with: maps.Clone(usualOthers), floor: 3 * time.Second}
	flags := flag.NewFlagSet("mutants", flag.ContinueOnError)
	choose := flags.String("run", "", "only files or functions that match this expression")
	must := flags.String("must", "", "packages that -min holds for, separated by commas (default: all)")
	flags.BoolVar(&o.list, "list", false, "list the mutants, run nothing")
	flags.Float64Var(&o.minimum, "min", 0, "exit with 1 if fewer percent are killed")
	flags.IntVar(&o.sample, "short", 0, "only so many mutants a package, always the same")
	flags.StringVar(&o.allowed, "allowed", ".ci/mutants/allowed.txt", "the survivors that are known")
	flags.Func("with", "package=other,other: the others' tests count as well", func(s string) error {
		name, others, ok := strings.Cut(s, "=")
		if !ok {
			return errors.New("write package=other,other")
		}
		o.with[name] = strings.Split(others, ",")
		return nil
	})
	if err := flags.Parse(args); err != nil {
		return o, err
	}
	if *must != "" {
		o.must = strings.Split(*must, ",")
	}
	if o.patterns = flags.Args(); len(o.patterns) == 0 {
		o.patterns = usual
	}
	var err error
	o.choose, err = regexp.Compile(*choose)
	return o, err
}

// holds tells whether the minimum holds for a package.
func (o options) holds(t *target) bool { return len(o.must) == 0 || slices.Contains(o.must, t.name) }

// covers refuses a minimum for packages that are not looked at.
func (o options) covers(targets []*target) error {
	for _, name := range o.must {
		if !slices.ContainsFunc(targets, func(t *target) bool { return t.name == name }) {
			return fmt.Errorf("-must names %s, which is none of the packages", name)
		}
	}
	return nil
}
