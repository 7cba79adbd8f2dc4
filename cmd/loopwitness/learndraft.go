package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/learn"
	"loopwitness/commission/site"
)

// learnDraft is what was said of a site while somebody walked through it, and what was
// answered to the questions after that. It is kept after each answer of the walk.
type learnDraft struct {
	said  []learn.Said
	given []given
}

// readLearnDraft reads a draft, if there is one and it is wanted.
func readLearnDraft(ctx context.Context, f job.Folder, operator ask.Operator) (learnDraft, error) {
	path := f.LearnDraftPath()
	data, err := strictyaml.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return learnDraft{}, nil
	}
	if err != nil {
		return learnDraft{}, err
	}
	d, err := parseLearnDraft(path, data)
	if err != nil {
		return learnDraft{}, badDraft(err)
	}
	on, err := goOn(ctx, operator, "learn/draft", path, len(d.said)+len(d.given))
	switch {
	case err != nil:
		return learnDraft{}, err
	case !on:
		return learnDraft{}, learntPhotographs{f}.Forget(d.photographs())
	}
	return d, nil
}

func parseLearnDraft(name string, data []byte) (learnDraft, error) {
	r, top, err := strictyaml.Parse(name, data, false, "said", "answers")
	if err != nil {
		return learnDraft{}, err
	}
	var d learnDraft
	for _, item := range top.List("said") {
		f := r.Fields(item, "said", "what", "address", "name", "zone", "kind", "location", "photographs")
		s := learn.Said{What: learn.What(f.Need("what", "what the address is")),
			Address: f.Need("address", "of the controller"), Name: f.Text("name"), Zone: f.Text("zone"),
			Kind: site.DetectorKind(f.Text("kind")), Location: f.Text("location"),
			Photographs: strings.Fields(f.Text("photographs"))}
		if !s.Sound() {
			r.Problem(item, "that was not said of an address", "")
		}
		d.said = append(d.said, s)
	}
	d.given = readGiven(r, top)
	return d, r.Err()
}

// photographs are the names of all that were taken.
func (d learnDraft) photographs() (names []string) {
	for _, s := range d.said {
		names = append(names, s.Photographs...)
	}
	return names
}

// keep writes the draft.
func (d learnDraft) keep(f job.Folder) error {
	var b bytes.Buffer
	b.WriteString("# What was learnt in a walk that is not finished; loopwitness site learn goes on from here.\nsaid:\n")
	for _, s := range d.said {
		fmt.Fprintf(&b, "  - {what: %s, address: %s", s.What, strictyaml.Quote(s.Address))
		for _, pair := range [][2]string{{"name", s.Name}, {"zone", s.Zone}, {"kind", string(s.Kind)},
			{"location", s.Location}, {"photographs", strings.Join(s.Photographs, " ")}} {
			if pair[1] != "" {
				fmt.Fprintf(&b, ", %s: %s", pair[0], strictyaml.Quote(pair[1]))
			}
		}
		b.WriteString("}\n")
	}
	writeGiven(&b, d.given)
	return atomicfile.Replace(f.LearnDraftPath(), b.Bytes(), 0o600)
}

// empty tells that there is nothing to keep.
func (d learnDraft) empty() bool { return len(d.said)+len(d.given) == 0 }
