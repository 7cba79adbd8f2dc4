package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// options are how the attacks are to be carried out.
type options struct {
	attacks []attack
	short   bool   // under a minute in all
	seed    uint64 // of everything that is drawn
	kills   int    // in all, of simulated and real visits
	write   string // file for the table, "" for none
	args    string // as typed, for the table

	root      string // of the module
	temporary string // folder for everything that is written
	program   string // path of the program that is attacked
}

// errNoModule says that the proof was started elsewhere.
var errNoModule = errors.New("start it in the top folder of the module")

func readOptions(args []string) (options, error) {
	var o options
	flags := flag.NewFlagSet("proof", flag.ContinueOnError)
	only := flags.String("only", "", "only these rows, separated by commas: "+strings.Join(names(attacks), ", "))
	flags.BoolVar(&o.short, "short", false, "less of everything, under a minute")
	flags.Uint64Var(&o.seed, "seed", 1, "of everything that is drawn")
	flags.IntVar(&o.kills, "kills", 0, "kills in all (default 1000; 60 with -short)")
	flags.StringVar(&o.program, "program", "", "file of the program to attack; built from the sources without it")
	flags.StringVar(&o.write, "write", "", "file to keep the table in")
	if err := flags.Parse(args); err != nil {
		return o, err
	}
	if flags.NArg() > 0 {
		return o, fmt.Errorf("%q is no flag", flags.Arg(0))
	}
	if o.kills == 0 {
		o.kills = o.of(1000, 60)
	}
	o.args = told(args)
	var err error
	if o.attacks, err = chosen(*only); err != nil {
		return o, err
	}
	if o.root, err = filepath.Abs("."); err != nil {
		return o, err
	}
	if o.program != "" {
		if o.program, err = filepath.Abs(o.program); err != nil {
			return o, err
		}
	}
	if _, err = os.Stat(filepath.Join(o.root, "cmd", "loopwitness")); err != nil {
		return o, errors.Join(errNoModule, err)
	}
	return o, nil
}

// told is what was typed, without folders of this computer.
func told(args []string) string {
	var all []string
	for _, arg := range args {
		if filepath.IsAbs(arg) {
			arg = filepath.Base(arg)
		}
		all = append(all, arg)
	}
	return strings.Join(all, " ")
}

// chosen are the attacks of some names, in the order of the table; all for none.
func chosen(only string) ([]attack, error) {
	if only == "" {
		return attacks, nil
	}
	wanted := strings.Split(only, ",")
	for _, name := range wanted {
		if !slices.Contains(names(attacks), name) {
			return nil, fmt.Errorf("there is no row %q; there are: %s", name, strings.Join(names(attacks), ", "))
		}
	}
	return slices.DeleteFunc(slices.Clone(attacks), func(a attack) bool { return !slices.Contains(wanted, a.name()) }), nil
}

// of is a number for a whole run, another for a short one.
func (o options) of(whole, short int) int {
	if o.short {
		return short
	}
	return whole
}
