// Package beforehand finds what is wrong with the files of a job that read well: maps
// that cannot work, and supplies that cannot be right. It is told before a visit begins.
package beforehand

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"time"

	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen"
	"loopwitness/commission/site"
)

// Severity is how grave a remark is.
type Severity int

// The severities, the gravest first.
const (
	Danger  Severity = iota // act now
	Cannot                  // it cannot work
	Perhaps                 // it may be meant
)

func (s Severity) String() string { return [...]string{"DANGER", "ERROR", "WARNING"}[s] }

// Remark is one thing to be looked at, with its place in a file, and what to do.
type Remark struct {
	Severity     Severity
	File         string
	Line, Column int
	What, Do     string
}

func (r Remark) String() string {
	return fmt.Sprintf("%s %s:%d:%d: %s\n    %s", r.Severity, r.File, r.Line, r.Column, r.What, r.Do)
}

// Grave tells whether a remark says that something cannot work, or must not.
func Grave(remarks []Remark) bool {
	return slices.ContainsFunc(remarks, func(r Remark) bool { return r.Severity < Perhaps })
}

// Job is the files of a job, read.
type Job struct {
	Site   *site.Site
	Listen listen.Config
	// Controller is the text of controller.yaml, nil where there is none.
	Controller []byte
	// Unprintable names the scripts of a text that certificates cannot show; nil where nobody asks.
	Unprintable func(text string) []string
}

// Of finds all there is to remark on a day, the gravest first.
func Of(j Job, today time.Time) []Remark {
	f := &finder{Job: j}
	f.zones()
	f.signals()
	f.outputs()
	f.guards()
	f.secret()
	f.presence()
	f.system()
	f.web()
	f.battery(today)
	f.charger()
	f.printed()
	slices.SortStableFunc(f.found, func(a, b Remark) int { return cmp.Compare(a.Severity, b.Severity) })
	return f.found
}

type finder struct {
	Job
	found []Remark
}

// at is a path whose numbers count the items of lists.
func at(parts ...any) []string {
	var path []string
	for _, p := range parts {
		switch p := p.(type) {
		case int:
			path = append(path, strconv.Itoa(p))
		case string:
			path = append(path, p)
		}
	}
	return path
}

// inSite remarks on a value of site.yaml.
func (f *finder) inSite(s Severity, path []string, do, what string, args ...any) {
	line, column := strictyaml.Place(f.Site.Raw, path...)
	f.found = append(f.found, Remark{s, "site.yaml", line, column, fmt.Sprintf(what, args...), do})
}

// inController remarks on a value of controller.yaml. It may hold secrets: what is said
// repeats nothing of it.
func (f *finder) inController(s Severity, path []string, do, what string, args ...any) {
	line, column := strictyaml.Place(f.Controller, path...)
	f.found = append(f.found, Remark{s, "controller.yaml", line, column, fmt.Sprintf(what, args...), do})
}
