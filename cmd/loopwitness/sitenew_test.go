package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/job"
)

// typist answers questions by their names, the last part of which is enough, and counts
// them; what it has no answer for it leaves out.
type typist struct {
	t       *testing.T
	answers map[string]string
	asked   []string
}

func (p *typist) Tell(...ask.Notice) {}
func (p *typist) Watch(context.Context, ask.Watch) (ask.Watching, error) {
	return nil, ask.ErrUnanswered
}

func (p *typist) Ask(_ context.Context, q ask.Question) (ask.Answer, error) {
	p.asked = append(p.asked, q.ID)
	text, has := p.answers[q.ID]
	if !has {
		text = p.answers[q.ID[strings.LastIndexByte(q.ID, '/')+1:]]
	}
	answer, err := q.Accept(text)
	require.NoError(p.t, err, q.ID)
	return answer, nil
}

// quiet are streams into a file that nobody reads.
func quiet(t *testing.T) streams {
	t.Helper()
	out, err := os.Create(filepath.Join(t.TempDir(), "out"))
	require.NoError(t, err)
	t.Cleanup(func() { _ = out.Close() })
	return streams{in: os.Stdin, out: out, err: out, lost: new(error)}
}

// A zone takes three questions at most: ten of them took 121 with all that is beside them.
func TestThreeQuestionsAZone(t *testing.T) {
	written := func(zones int) []string {
		p := &typist{t: t, answers: map[string]string{
			"reference": "KP-7", "premises": "Glaze Works", "address": "Clay Lane", "company": "Bellbird",
			"standard":   "EN 50131-1",
			"controller": "controller", "wiring": "two resistors", "end-of-line": "4k7", "contact-resistor": "4k7",
			"kind": "motion", "detectors": "2", "another-output": "no", "battery": "lead-acid", "other-loads": "no",
			"standby": "12 h", "current-motion": "15 mA", "review-1": "write"}}
		for n := range zones {
			p.answers[fmt.Sprintf("new/zone-%d/name", n+1)] = fmt.Sprintf("Room %d", n+1)
		}
		dir := t.TempDir()
		require.NoError(t, writeNewSite(t.Context(), quiet(t), job.At(dir), p))
		st, err := job.At(dir).Site()
		require.NoError(t, err)
		require.Len(t, st.Zones, zones)
		require.Equal(t, 2*zones, st.Detectors())
		return p.asked
	}
	one := written(1)
	ten := written(10)
	assert.Equal(t, 9*3, len(ten)-len(one), "%q", ten)
	assert.Less(t, len(ten), 70, "%q", ten)
	t.Logf("ten zones: %d questions in all, of them 30 of the zones", len(ten))
}
