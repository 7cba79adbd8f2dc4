package dryrun

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/programme"
)

// base is the visit that the cases differ from.
func base(t testing.TB) Visit {
	t.Helper()
	read := func(name string) []byte {
		data, err := os.ReadFile(filepath.Join(visits, "base", name))
		require.NoError(t, err)
		return data
	}
	return Visit{Site: read("site.yaml"), Controller: read("controller.yaml"), Answers: read("answers.yaml")}
}

// A dry run is a whole visit, which says of itself that it is practice and that time was simulated.
func TestRun(t *testing.T) {
	v := base(t)
	a, err := Run(v.Site, v.Controller, v.Answers)
	require.NoError(t, err)
	assert.True(t, a.Record().Done())
	assert.True(t, a.Record().Simulated())
	assert.True(t, a.Record().TimeSimulated())
	assert.Equal(t, programme.Handover, a.Record().Opened().Visit)
	assert.Equal(t, Morning, a.Record().Begun())

	v.Kind = programme.Maintenance
	var talk bytes.Buffer
	v.Talk = &talk
	a, err = v.Run(t.Context())
	require.NoError(t, err)
	assert.Equal(t, programme.Maintenance, a.Record().Opened().Visit)
	assert.Contains(t, talk.String(), "== WALK-TEST ==")
}

// Files that are refused give an error and nothing else; a visit that cannot go on gives what there was.
func TestRunsThatEnd(t *testing.T) {
	for name, change := range map[string]func(*Visit){
		"site":       func(v *Visit) { v.Site = []byte("zones: []\n") },
		"controller": func(v *Visit) { v.Controller = []byte("listen: simulated\nsimulated: {battery: flat}\n") },
		"answers":    func(v *Visit) { v.Answers = []byte("answers: []\n") },
	} {
		v := base(t)
		change(&v)
		a, err := v.Run(t.Context())
		assert.ErrorIs(t, err, strictyaml.ErrRefused, name)
		assert.Nil(t, a, name)
	}
	v := base(t)
	v.Controller = []byte("listen: keyboard\n")
	_, err := v.Run(t.Context())
	assert.ErrorIs(t, err, ErrReal)

	v = base(t)
	v.Answers = []byte("answers:\n  - {when: inspection/*, say: done}\n" +
		"  - {when: list/walk-test/*, say: rest}\n")
	a, err := v.Run(t.Context())
	assert.ErrorIs(t, err, ask.ErrUnanswered)
	assert.ErrorContains(t, err, "supply/voltmeter")
	assert.False(t, a.Record().Done())

	v = base(t)
	v.Answers = append([]byte("answers:\n  - {when: walk/2.1/ready, say: \"\"}\n"), v.Answers[bytes.Index(v.Answers,
		[]byte("  - {when: inspection")):]...)
	a, err = v.Run(t.Context())
	assert.ErrorIs(t, err, ask.ErrUnanswered)
	assert.ErrorContains(t, err, "walk/2.1/ready")
	assert.False(t, a.Record().Done())
}

// A controller that goes down at the switch-over comes back, the visit goes on, and the
// outage stands in the record.
func TestSwitchOvers(t *testing.T) {
	for _, kind := range []string{"restarts on battery", "drops connection"} {
		v := base(t)
		var err error
		v.Controller, err = SetKey(v.Controller, "simulated.faults.+", "{fault: "+kind+"}")
		require.NoError(t, err)
		a, err := v.Run(t.Context())
		require.NoError(t, err, kind)
		assert.True(t, a.Record().Done(), kind)
		require.Len(t, a.Record().Outages(), 1, kind)
	}
}

func BenchmarkRun(b *testing.B) {
	v := base(b)
	for b.Loop() {
		if _, err := v.Run(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}
