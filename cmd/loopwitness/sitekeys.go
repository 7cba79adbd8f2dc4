package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/checks"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen"
	"loopwitness/commission/site"
)

func newSiteKeys(s streams) *cobra.Command {
	var controller, asJSON bool
	cmd := &cobra.Command{
		Use:   "keys [PATH…]",
		Short: "Explain every key of site.yaml and controller.yaml",
		Long: "Explain the keys of site.yaml and controller.yaml: what each means and takes, whether it is needed, what\n" +
			"counts without it, an example, and what it changes. A PATH (supply.battery) shows that key and those below\n" +
			"it; [] stands for each item of a list. A key that is needed is needed where the keys around it are written.",
		RunE: func(_ *cobra.Command, paths []string) error {
			files := guides()
			if controller {
				files = files[1:]
			}
			files, err := keysAtPaths(files, paths)
			if err != nil {
				return err
			}
			if asJSON {
				return keysAsJSON(s, files)
			}
			for _, f := range files {
				s.say("%s\n%s\n", f.name, strings.Repeat("=", len(f.name)))
				for _, k := range f.keys {
					s.explain(k)
				}
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&controller, "controller", false, "those of controller.yaml only")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

// guide is the table of keys of one file.
type guide struct {
	name string
	keys site.Table
}

func guides() []guide {
	return []guide{{"site.yaml", site.Keys()}, {"controller.yaml", listen.Keys()}}
}

// keysAtPaths keeps the keys at and below the paths, all where none is named.
func keysAtPaths(files []guide, paths []string) ([]guide, error) {
	if len(paths) == 0 {
		return files, nil
	}
	var kept []guide
	found := map[string]bool{}
	for _, f := range files {
		left := guide{name: f.name}
		for _, k := range f.keys {
			at := func(path string) bool { return standsUnder(k.Path, path) }
			if i := slices.IndexFunc(paths, at); i >= 0 {
				left.keys = append(left.keys, k)
			}
			for _, p := range paths {
				found[p] = found[p] || at(p)
			}
		}
		if len(left.keys) > 0 {
			kept = append(kept, left)
		}
	}
	for _, p := range paths {
		if !found[p] {
			return nil, noSuchKey(p, files)
		}
	}
	return kept, nil
}

// standsUnder tells whether a key stands at a path or below it; the path may leave out
// that something is a list.
func standsUnder(key, path string) bool {
	key, path = strings.ReplaceAll(key, "[]", ""), strings.ReplaceAll(path, "[]", "")
	return path != "" && (key == path || strings.HasPrefix(key, path+"."))
}

// noSuchKey names the keys of the same name elsewhere, or the nearest ones.
func noSuchKey(path string, files []guide) error {
	name := path[strings.LastIndexByte(path, '.')+1:]
	var names, same []string
	for _, f := range files {
		for _, k := range f.keys {
			names = append(names, strings.TrimSuffix(k.Name(), "[]"))
			if names[len(names)-1] == name {
				same = append(same, k.Path)
			}
		}
	}
	near := strictyaml.Nearest(name, names)
	switch {
	case len(same) > 0:
		return fmt.Errorf("no key has the path %q; %s is a part of: %s", path, name, strings.Join(same, ", "))
	case near != "":
		return fmt.Errorf("no key has the path %q; did you mean %q?", path, near)
	}
	return fmt.Errorf("no key has the path %q; see all with: loopwitness site keys", path)
}

// explain prints one key for people.
func (s streams) explain(k site.Key) {
	s.say("%s", k.Path)
	s.entry("", k.Means)
	s.entry("takes", takes(k))
	if k.Needed() {
		s.entry("needed", cmp.Or(k.Need, "yes"))
	}
	s.entry("default", k.Default)
	s.entry("example", example(k))
	s.entry("changes", k.Changes)
	s.say("")
}

// guideColumns is how wide the guide is, whatever the screen.
const guideColumns = 80

// entry prints a line of a key, if there is anything to say.
func (s streams) entry(what, text string) {
	if text == "" {
		return
	}
	for _, line := range screen.Wrap(text, guideColumns-12) {
		s.say("  %s", strings.TrimRight(screen.Pad(what, 9)+line, " "))
		what = ""
	}
}

// takes is what is typed.
func takes(k site.Key) string {
	text := k.Takes
	switch {
	case len(k.Words) > 0:
		return "one of: " + strings.Join(k.Words, ", ")
	case k.In.SI != "":
		text = strings.TrimPrefix(strings.TrimPrefix(k.In.Name, "a "), "an ") + ", for example " + k.In.Examples
	}
	unit := strings.TrimSuffix(" "+k.In.SI, " 1")
	switch {
	case k.Up != 0:
		text += fmt.Sprintf("; from %s to %s%s", checks.FormatNumber(k.Low), checks.FormatNumber(k.Up),
			strings.TrimRight(unit, " "))
	case k.Above:
		text += "; above zero"
	}
	return text
}

// example is a key as it is written.
func example(k site.Key) string {
	if k.Example == "" {
		return ""
	}
	return strings.TrimSuffix(k.Name(), "[]") + ": " + k.Example
}

// keyJSON is one key for programs.
type keyJSON struct {
	File    string   `json:"file"`
	Path    string   `json:"path"`
	Means   string   `json:"means"`
	Takes   string   `json:"takes"`
	Words   []string `json:"words,omitempty"`
	Unit    string   `json:"si_unit,omitempty"`
	Above0  bool     `json:"above_zero,omitempty"`
	Low     *float64 `json:"at_least,omitempty"`
	Up      *float64 `json:"at_most,omitempty"`
	Needed  bool     `json:"needed"`
	Hint    string   `json:"hint,omitempty"`
	Default string   `json:"default,omitempty"`
	Example string   `json:"example,omitempty"`
	Changes string   `json:"changes,omitempty"`
}

func keysAsJSON(s streams, files []guide) error {
	all := []keyJSON{}
	for _, f := range files {
		for _, k := range f.keys {
			one := keyJSON{File: f.name, Path: k.Path, Means: k.Means, Takes: k.Takes, Words: k.Words, Unit: k.In.SI,
				Above0: k.Above, Needed: k.Needed(), Hint: k.Need, Default: k.Default, Example: k.Example, Changes: k.Changes}
			switch {
			case len(k.Words) > 0:
				one.Takes = "word"
			case k.In.SI != "":
				one.Takes = "quantity"
			}
			if k.Up != 0 {
				one.Low, one.Up = &k.Low, &k.Up
			}
			all = append(all, one)
		}
	}
	data, err := json.MarshalIndent(all, "", "  ")
	if err != nil {
		return err
	}
	s.say("%s", data)
	return nil
}
