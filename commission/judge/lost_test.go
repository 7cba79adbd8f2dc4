package judge

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/record"
)

// A lost photograph limits what was shown, behind all else, whatever the customer accepted;
// no name that the record does not have does anything.
func TestALostPhotographIsALimitation(t *testing.T) {
	r := recordWithPhotographs(t, 3)
	whole := Assess(r)
	assert.Empty(t, whole.Lost())
	assert.Equal(t, r.Photographs(), whole.Kept())
	assert.Equal(t, whole.Judged(), Without(r, "photograph-9.jpg").Judged())

	all := r.Photographs()
	a := Without(r, "photograph-3.jpg", "photograph-1.jpg")
	assert.Equal(t, all[1:2], a.Kept())
	assert.Equal(t, "photograph-1.jpg", a.Lost()[0].Name)
	assert.Equal(t, "photograph-3.jpg", a.Lost()[1].Name)
	before, after := whole.Limitations(), a.Limitations()
	assert.Equal(t, len(before), len(after)-2)
	assert.Equal(t, append([]Finding{}, before...), after[:len(before)])
	assert.Equal(t, []Finding{
		{ID: numbered("L", len(before)), Subject: Subject{Part: PartPhotographs},
			What: PhotographLost{"photograph-1.jpg", all[0].Entry}},
		{ID: numbered("L", len(before)+1), Subject: Subject{Part: PartPhotographs},
			What: PhotographLost{"photograph-3.jpg", all[2].Entry}}}, after[len(before):])
	assert.Equal(t, Satisfactory, whole.Result())
	assert.Equal(t, WithLimitations, a.Result())
}

// recordWithPhotographs is of a satisfactory visit to which photographs were added.
func recordWithPhotographs(t *testing.T, n int) *record.Record {
	t.Helper()
	s := &story{t: t, record: &record.Record{}}
	tellSatisfactory(s)
	for i := range n {
		s.tell(record.Photographed{Name: fmt.Sprintf("photograph-%d.jpg", i+1), About: record.AboutSite,
			SHA256: strings.Repeat("0a", 32), Bytes: 1000, Media: "image/jpeg", Width: 40, Height: 30})
	}
	return s.record
}
