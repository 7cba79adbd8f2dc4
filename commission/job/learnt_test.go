package job

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
)

// walkedThrough is a job whose site was learnt with some photographs.
func walkedThrough(t *testing.T) (Folder, *site.Site) {
	t.Helper()
	f := At(t.TempDir())
	data, err := os.ReadFile("../../cmd/loopwitness/demo/site.yaml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(f.SitePath(), data, 0o600))
	s, err := f.Site()
	require.NoError(t, err)
	return f, s
}

// begun is a visit that begins, and what it could not take in; it is over at once.
func begunWith(t *testing.T, f Folder, s *site.Site, at time.Time) (Visit, *record.Record, int, []error) {
	t.Helper()
	of, opened, err := f.New(s, programme.Handover, at)
	require.NoError(t, err)
	v, err := visit.Start(visit.Config{Clock: clock.NewSimulated(at)}, of.Journal(), opened)
	require.NoError(t, err)
	taken, left := f.TakeLearntIn(of, v)
	require.NoError(t, v.Close())
	return of, folded(t, of), taken, left
}

// The next visit takes in what was photographed while the site was learnt, once; after it was set
// aside, the one after it does. What is not as it was kept, or shows nothing of the site, is left.
func TestAVisitTakesInWhatWasLearnt(t *testing.T) {
	f, s := walkedThrough(t)
	z := s.Zones[0]
	for i, address := range []string{z.Address, z.Address, "nowhere", z.Address} {
		_, err := f.KeepLearnt(address, "from the door", taken(t, uint8(50+i*20)))
		require.NoError(t, err)
	}
	require.NoError(t, f.ChangeLearnt(func(p *LearntPhotograph) bool {
		if p.Name == "photograph-1.jpg" {
			p.Place, p.Detector, p.Taken = 1, z.Detectors[0].Name, "2026-11-24 09:10:11"
		}
		return true
	}))
	require.NoError(t, os.WriteFile(filepath.Join(f.Dir(), "learnt", "photograph-4.jpg"), taken(t, 250), 0o600))

	first, r, n, left := begunWith(t, f, s, noon)
	assert.Equal(t, 2, n)
	require.Len(t, left, 2)
	assert.ErrorContains(t, left[0], `no zone of the site file has the address "nowhere"`)
	assert.ErrorIs(t, left[1], ErrPhotographGone)
	require.Len(t, r.Photographs(), 2)
	one, two := r.Photographs()[0], r.Photographs()[1]
	assert.Equal(t, []record.About{record.About("detector/" + string(site.PointOf(z.Number, 0))), "zone/1"},
		[]record.About{one.About, two.About})
	assert.Equal(t, []any{true, "from the door", "2026-11-24 09:10:11"}, []any{one.Learnt, one.Caption, one.Taken})
	assert.Empty(t, first.Lost(r))
	assert.Empty(t, r.Breaches())

	second, r, n, _ := begunWith(t, f, s, noon.Add(time.Hour))
	assert.Zero(t, n)
	assert.Empty(t, r.Photographs(), "taken in twice")
	c := clock.NewSimulated(noon.Add(2 * time.Hour))
	require.NoError(t, first.Discard(c, record.Discarded{Reason: "begun by mistake", By: "Bea"}))
	require.NoError(t, second.Discard(c, record.Discarded{Reason: "begun by mistake", By: "Bea"}))
	third, r, n, _ := begunWith(t, f, s, noon.Add(3*time.Hour))
	assert.Equal(t, 2, n, "after it was set aside")

	// One that is taken back stands nowhere any more.
	require.NoError(t, third.TakeBack(clock.NewSimulated(noon.Add(4*time.Hour)),
		record.TakenBack{Name: r.Photographs()[0].Name, Reason: "shows a person"}))
	assert.NoFileExists(t, filepath.Join(f.Dir(), "learnt", "photograph-1.jpg"))
	assert.FileExists(t, filepath.Join(f.Dir(), "learnt", "photograph-2.jpg"))
}

// A detector that was moved within its zone is found by its name; one that is gone leaves the
// zone.
func TestWhatALearntPhotographShows(t *testing.T) {
	s := &site.Site{Zones: []site.Zone{{Number: 4, Address: "z4",
		Detectors: []site.Detector{{Name: "Left"}, {Name: "Right"}, {Name: "Left"}}}}}
	for want, p := range map[record.About]LearntPhotograph{
		"detector/4.3": {Address: "z4", Detector: "Left", Place: 3},
		"detector/4.1": {Address: "z4", Detector: "Left", Place: 2},
		"detector/4.2": {Address: "z4", Detector: "Right", Place: 9},
		"zone/4":       {Address: "z4", Detector: "Middle", Place: 1},
		"":             {Address: "z5", Detector: "Left", Place: 1},
	} {
		assert.Equal(t, want, p.About(s))
	}
	assert.EqualValues(t, "zone/4", LearntPhotograph{Address: "z4"}.About(s))
}

// What cannot be a photograph is not kept, the same one once; a number is not given twice, and a
// list that leads out of its folder is refused.
func TestKeepingWhatIsLearnt(t *testing.T) {
	f, _ := walkedThrough(t)
	_, err := f.KeepLearnt("z1", "", []byte("no picture"))
	assert.ErrorIs(t, err, photograph.ErrRefused)
	name, err := f.KeepLearnt("z1", "", taken(t, 9))
	require.NoError(t, err)
	assert.Equal(t, "photograph-1.jpg", name)
	_, err = f.KeepLearnt("z2", "", taken(t, 9))
	assert.ErrorIs(t, err, photograph.ErrRefused)
	assert.ErrorContains(t, err, "taken already")
	_, err = f.KeepLearnt("z2", "two\nlines", taken(t, 8))
	assert.Error(t, err)
	name, err = f.KeepLearnt("z2", "", taken(t, 8))
	require.NoError(t, err)
	assert.Equal(t, "photograph-2.jpg", name)
	require.NoError(t, f.ChangeLearnt(func(p *LearntPhotograph) bool { return p.Address != "z1" }))
	all, err := f.Learnt()
	require.NoError(t, err)
	require.Len(t, all, 1)
	assert.NoFileExists(t, f.learntPath("photograph-1.jpg"))

	full := make([]LearntPhotograph, photograph.Most)
	assert.ErrorIs(t, roomForLearnt(full, LearntPhotograph{SHA256: "x"}), photograph.ErrRefused)
	assert.NoError(t, roomForLearnt(full[1:], LearntPhotograph{SHA256: "x"}))
	assert.ErrorIs(t, roomForLearnt(nil, LearntPhotograph{SHA256: "x", Bytes: photograph.MostBytes + 1}),
		photograph.ErrRefused)

	for _, bad := range []string{`[{"name": "../site.yaml"}]`, `[{"name": "photograph-1.jpg", "address": "a\nb"}]`, `[{"more": 1}]`, `{`} {
		require.NoError(t, os.WriteFile(f.learntPath(learntList), []byte(bad), 0o600))
		_, err := f.Learnt()
		assert.Error(t, err, bad)
	}
}
