package simulated

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// A detector that a changed site file brings is operated as the others are.
func TestStepsOfAChangedSite(t *testing.T) {
	c := &Controller{steps: map[string]programme.Step{}}
	first := programme.Step{ID: "walk/1.1", Point: "1.1"}
	added := programme.Step{ID: "walk/1.2", Point: "1.2"}
	c.Took(time.Time{}, record.Opened{Programme: []programme.Step{first}})
	c.Took(time.Time{}, record.SiteChanged{Programme: []programme.Step{first, added}})
	assert.Equal(t, map[string]programme.Step{"walk/1.1": first, "walk/1.2": added}, c.steps)
}
