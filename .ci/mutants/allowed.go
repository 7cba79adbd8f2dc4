package main

import (
	"fmt"
	"os"
	"path"
	"strings"
)

// allowance is a survivor that is known, with the reason why it may live.
type allowance struct {
	line        int
	key, reason string
	used        bool
}

// readAllowed reads a file of them: a line is "KEY # REASON", KEY as it is printed
// beside a survivor. Blank lines and those that begin with # say nothing.
func readAllowed(file string) (map[string]*allowance, error) {
	data, err := os.ReadFile(file)
	if os.IsNotExist(err) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	all := map[string]*allowance{}
	for i, line := range strings.Split(string(data), "\n") {
		if line = strings.TrimSpace(line); line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		key, reason, ok := strings.Cut(line, " # ")
		switch {
		case !ok || strings.TrimSpace(reason) == "":
			return nil, fmt.Errorf("%s:%d: no reason; write KEY # REASON", file, i+1)
		case all[key] != nil:
			return nil, fmt.Errorf("%s:%d: the same as line %d", file, i+1, all[key].line)
		}
		all[key] = &allowance{line: i + 1, key: key, reason: strings.TrimSpace(reason)}
	}
	return all, nil
}

// allow gives the survivors that are known their reasons, and lists the entries
// that name no survivor. An entry of a package that was not looked at, or of a
// mutant that was not run, is left alone.
func allow(targets []*target, known map[string]*allowance) []*allowance {
	var stale []*allowance
	looked := map[string]bool{}
	spared := map[string]bool{}
	for _, t := range targets {
		looked[t.name] = true
		for _, m := range t.mutants {
			a := known[m.key()]
			switch {
			case a != nil && m.alive():
				m.reason, a.used = a.reason, true
			case m.fate == untried:
				spared[m.key()] = true
			}
		}
	}
	for key, a := range known {
		file, _, _ := strings.Cut(key, " ")
		if !a.used && !spared[key] && looked[path.Dir(file)] {
			stale = append(stale, a)
		}
	}
	return stale
}
