package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wrapped is the real program behind a script that spoils something first.
func wrapped(t *testing.T, o options, script string) options {
	t.Helper()
	program := o.program
	o.program = filepath.Join(o.temporary, "wrapped")
	const shell = "#!/bin/sh\njournal=$(ls \"$4\"/visits/*/journal.jsonl 2>/dev/null)\n%s\nexec %s \"$@\"\n"
	text := fmt.Sprintf(shell, script, program)
	require.NoError(t, os.WriteFile(o.program, []byte(text), 0o700))
	return o
}

// A program that forgets its last entry when it goes on, one that answers otherwise
// after a break, and one that does nothing wrong.
func TestKillsNoticeWhatIsLost(t *testing.T) {
	o := here(t)
	var err error
	o.program, err = buildProgram(t.Context(), o.root, o.temporary)
	require.NoError(t, err)
	o.kills = 16
	for name, c := range map[string]struct {
		script string
		lost   bool
	}{
		"nothing":           {":", false},
		"forgets its last":  {`[ "$2" = resume ] && sed -i '$d' "$journal"`, true},
		"answers otherwise": {`[ "$2" = resume ] && sed -i 's/say: done}/say: defect}/' "$4"/answers.yaml`, true},
		"never goes on":     {`[ "$2" = resume ] && exit 2`, true},
	} {
		t.Run(name, func(t *testing.T) {
			o := wrapped(t, o, c.script)
			r, err := kills{}.run(t.Context(), o)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, r.tried, 12)
			assert.Equal(t, r.tried, r.survived+r.lost+r.unnoticed)
			assert.Equal(t, c.lost, r.lost > 0, "%v", r.told)
		})
	}
}

func TestAFullDiskThatIsNotToldIsNoticed(t *testing.T) {
	c, data := shop(t)
	o := here(t)
	want, err := outcomeIn(data)
	require.NoError(t, err)
	assert.ErrorAs(t, o.facesFull(t.Context(), c, &fullFile{}, want), new(unnoticed), "no write failed")
	assert.NoError(t, o.facesFull(t.Context(), c, &fullFile{fails: 30, fits: 50}, want))
	want["verdict walk/1.1"] = "late"
	assert.ErrorContains(t, o.facesFull(t.Context(), c, &fullFile{fails: 30, fits: 50}, want), "another outcome")
}
