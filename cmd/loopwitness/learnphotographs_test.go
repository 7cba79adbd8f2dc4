package main

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/job"
	"loopwitness/commission/learn"
	"loopwitness/commission/site"
)

// learntPictures are so many different photographs of an address, in a job.
func learntPictures(t *testing.T, addresses ...string) (learntPhotographs, []string) {
	t.Helper()
	p := learntPhotographs{job.At(t.TempDir())}
	var names []string
	for i, address := range addresses {
		var b bytes.Buffer
		require.NoError(t, png.Encode(&b, image.NewGray(image.Rect(0, 0, 20+i, 20))))
		name, err := p.Keep(address, "", b.Bytes())
		require.NoError(t, err)
		names = append(names, name)
	}
	return p, names
}

// Each photograph is of the detector that was named while it was taken; of one that was said to
// be one of several, only the zone is known.
func TestPhotographsAreOfTheirDetectors(t *testing.T) {
	p, n := learntPictures(t, "z1", "z1", "z1", "z2", "z2", "z9")
	before := &site.Site{Zones: []site.Zone{{Address: "z1", Detectors: []site.Detector{{Name: "Left"}}}}}
	written := &site.Site{Zones: []site.Zone{
		{Address: "z1", Detectors: []site.Detector{{Name: "Left"}, {Name: "Right"}}},
		{Address: "z2", Detectors: []site.Detector{{Name: "Door"}}}}}
	require.NoError(t, p.settle([]learn.Said{
		{What: learn.Same, Address: "z1", Photographs: n[:1]}, // it has one only
		{What: learn.Detector, Address: "z1", Photographs: n[1:2]},
		{What: learn.Same, Address: "z1", Photographs: n[2:3]},
		{What: learn.Detector, Address: "z2", Photographs: n[3:5]},
		{What: learn.Detector, Address: "z9", Photographs: n[5:]}, // its zone was left out
	}, before, written))
	all, err := p.Learnt()
	require.NoError(t, err)
	var got []string
	for _, l := range all {
		got = append(got, l.Detector)
	}
	assert.Equal(t, []string{"Left", "Right", "", "Door", "Door", ""}, got)
}

// A walk that was broken off keeps which photographs are of what; one that is begun anew drops
// them, and no others.
func TestADraftKeepsItsPhotographs(t *testing.T) {
	p, n := learntPictures(t, "z1", "z1", "z2")
	d := learnDraft{
		said: []learn.Said{{What: learn.Detector, Address: "z1", Name: "Left", Kind: "window", Photographs: n[:2]}},
	}
	require.NoError(t, d.keep(p.Folder))
	for _, anew := range []bool{false, true} {
		word := map[bool]string{false: "on", true: "anew"}[anew]
		read, err := readLearnDraft(t.Context(), p.Folder, fixed{word: word})
		require.NoError(t, err)
		all, err := p.Learnt()
		require.NoError(t, err)
		if !anew {
			assert.Equal(t, d.said, read.said)
			assert.Len(t, all, 3)
			continue
		}
		assert.Empty(t, read.said)
		require.Len(t, all, 1)
		assert.Equal(t, n[2], all[0].Name)
	}
}

// fixed answers every question with one word.
type fixed struct {
	ask.Operator
	word string
}

func (f fixed) Ask(context.Context, ask.Question) (ask.Answer, error) {
	return ask.Answer{Text: f.word}, nil
}
