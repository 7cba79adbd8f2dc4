package programme

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// reused is the whole site with reused cables, but that of one zone.
var reused = strings.Replace(strings.Replace(whole, "zones:", "cables: {reused: \"yes\"}\nzones:", 1),
	"address: z1, detectors", "address: z1, cable: {reused: \"no\"}, detectors", 1)

func idsOf(steps []Step) (ids []string) {
	for _, s := range steps {
		ids = append(ids, s.ID)
	}
	return ids
}

func cablesIn(steps []Step) (ids []string) {
	for _, s := range steps {
		if s.Stage == StageCables {
			ids = append(ids, s.ID)
		}
	}
	return ids
}

// Reused cables are measured first of all, where a system is fitted or taken over; no other
// visit takes them, and none does at a site without.
func TestWhoMeasuresCables(t *testing.T) {
	s := read(t, reused)
	all := []string{IDIsolated, IDTester, "cables/zone-2", "cables/zone-3", "cables/apart-2", "cables/apart-3"}
	for kind, measures := range map[VisitKind]bool{Handover: true, TakeOver: true, Retest: true, Maintenance: false,
		AfterAlarm: false} {
		steps := OfKind(kind, s, Checklist{})
		if !measures {
			assert.Empty(t, cablesIn(steps), kind)
			continue
		}
		assert.Equal(t, all, idsOf(steps)[:len(all)], kind)
		assert.Equal(t, all, cablesIn(steps), kind)
	}
	assert.Empty(t, cablesIn(Of(read(t, whole), Checklist{})))
	assert.Len(t, OfKind(Maintenance, s, Checklist{}), len(Of(s, Checklist{}))-len(all))
}

// A cable taken again brings that nothing is connected, and what it is measured with; what no
// earlier visit took is no part of a retest.
func TestWhatACableLeansOn(t *testing.T) {
	s := read(t, reused)
	earlier := Of(s, Checklist{})
	for again, want := range map[string][]string{
		"cables/zone-3":  {IDIsolated, IDTester, "cables/zone-3"},
		"cables/apart-2": {"cables/apart-2"},
		IDTester:         {IDIsolated, IDTester},
		IDIsolated:       {IDIsolated},
		"walk/1.1":       nil,
	} {
		assert.Equal(t, want, cablesIn(OfRetest(s, Checklist{}, earlier, map[string]bool{again: true})), again)
	}
	assert.Empty(t, cablesIn(OfRetest(read(t, whole), Checklist{}, earlier, map[string]bool{"cables/apart-2": true})),
		"where no cable is reused now")
	ofMaintenance := OfKind(Maintenance, s, Checklist{})
	assert.Empty(t, cablesIn(OfRetest(s, Checklist{}, ofMaintenance, map[string]bool{"walk/1.1": true})))
}

// Where a cable comes from changes no detector; what it should read and its limit change it.
func TestWhatChangesACable(t *testing.T) {
	affected := func(after string, id string) bool {
		before, now := read(t, reused), read(t, after)
		for _, st := range Of(before, Checklist{}) {
			if st.ID == id {
				return Affected(before, now, st)
			}
		}
		t.Fatal("no step " + id)
		return false
	}
	notReused := strings.Replace(reused, "cables: {reused: \"yes\"}", "cables: {reused: \"no\"}", 1)
	own := strings.Replace(reused, "cable: {reused: \"no\"}, ", "", 1)
	longer := strings.Replace(reused, "address: z2\n", "address: z2\n    cable: {length: 90 m, conductor: 0.22 mm2}\n", 1)
	limited := reused + "limits: {insulation: 1 Mohm}\n"
	assert.False(t, affected(notReused, "walk/2.1"))
	assert.False(t, affected(own, "walk/1.1"))
	assert.True(t, affected(longer, "walk/2.1"))
	assert.True(t, affected(longer, "cables/zone-2"))
	assert.False(t, affected(longer, "cables/zone-3"))
	assert.True(t, affected(limited, "cables/zone-3"))
	assert.False(t, affected(limited, "cables/apart-3"))
}

// A list that a site has no more goes with its cables; lines of the checklists stay.
func TestCablesGoWithTheSite(t *testing.T) {
	had := append(Of(read(t, reused), Checklist{}), Step{ID: "inspection/own", Stage: StageInspection, Kind: StepCheck,
		Text: "Own"})
	now := Revised(read(t, reused), read(t, whole), had, Of(read(t, whole), Checklist{}))
	assert.Empty(t, cablesIn(now))
	assert.Contains(t, idsOf(now), "inspection/own")
}
