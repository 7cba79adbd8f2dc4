package site

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAlarmOutputs(t *testing.T) {
	s := &Site{Outputs: []Output{{Name: "Chime", Kind: Chime}, {Name: "Horn", Kind: Sounder}, {Name: "Flash",
		Kind: Strobe}}}
	assert.Equal(t, []*Output{&s.Outputs[1], &s.Outputs[2]}, s.AlarmOutputs())
	assert.Empty(t, (&Site{Outputs: s.Outputs[:1]}).AlarmOutputs())
}
