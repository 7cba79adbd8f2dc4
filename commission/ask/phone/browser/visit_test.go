package browser_test

import (
	"context"
	"net"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/phone"
	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

func TestMain(m *testing.M) { browser.Main(m) }

// visit is a visit of a test: it shows what it is told to, and takes what comes.
type visit struct {
	*phone.Server
	t      testing.TB
	link   *browser.Link
	tokens phone.Tokens
	at     string // where it is served, over TLS

	mu     sync.Mutex
	photos []photo
	quiet  int
}

type photo struct {
	about   record.About
	caption string
	bytes   int
}

// begin serves the page behind a link that can be cut.
func begin(t testing.TB) *visit { return beginIn(t, words.English{}) }

// beginIn serves it in a language.
func beginIn(t testing.TB, l words.Language) *visit {
	t.Helper()
	v := &visit{t: t, link: browser.NewLink(t)}
	at, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	v.Server, v.tokens = phone.New(phone.Config{Language: l, Hosts: []string{v.link.Address}, Terminal: true,
		Texts: words.PageTexts(l)})
	page := v.Open(at, nil)
	t.Cleanup(func() { _ = page.Close(ask.PhonePageOver{}) })
	v.link.Lead(at.Addr().String())
	v.Serve(ask.OutOfTurn{
		Held: func(record.Held) {},
		Photograph: func(about record.About, caption string, file []byte) (string, error) {
			v.mu.Lock()
			defer v.mu.Unlock()
			v.photos = append(v.photos, photo{about, caption, len(file)})
			return "photograph-1.jpg", nil
		},
		Quiet: func() {
			v.mu.Lock()
			v.quiet++
			v.mu.Unlock()
			v.Sounding(nil)
		},
	})
	v.Board(studio())
	return v
}

func (v *visit) technician() string { return "http://" + v.link.Address + "/#" + v.tokens.Technician }
func (v *visit) onlooker() string   { return "http://" + v.link.Address + "/#" + v.tokens.Onlooker }

// asks lets a question stand, and gives its answer when it comes.
func (v *visit) asks(q ask.Question) <-chan ask.Answer {
	given := make(chan ask.Answer, 1)
	ctx, stop := context.WithCancel(context.Background())
	v.t.Cleanup(stop)
	go func() {
		if a, err := v.Ask(ctx, q); err == nil {
			given <- a
		}
	}()
	return given
}

// waits lets a wait stand until stop is called.
func (v *visit) waits(w ask.Watch) (pressed <-chan ask.Pressed, status func(ask.Phrase), stop func()) {
	watching, err := v.Watch(context.Background(), w)
	require.NoError(v.t, err)
	v.t.Cleanup(watching.Close)
	return watching.Pressed(), watching.Status, watching.Close
}

// gotNothing fails where something comes meanwhile.
func gotNothing[T any](t testing.TB, from <-chan T) {
	t.Helper()
	select {
	case value := <-from:
		t.Fatalf("%+v came", value)
	case <-time.After(meanwhile):
	}
}

// got is what comes, in good time.
func got[T any](t testing.TB, from <-chan T) T {
	t.Helper()
	select {
	case value := <-from:
		return value
	case <-time.After(20 * time.Second):
		t.Fatal("nothing came")
	}
	panic("not reached")
}

// fitted are the detectors of the studio.
var fitted = []struct {
	zone     int
	zoneName string
	area     string
	name     string
	location string
	kind     site.DetectorKind
	standing ask.Standing
	now      signal.State
}{
	{1, "Front door", "shop", "Door to the yard", "behind the counter", "door", ask.ProvedStanding, signal.Restored},
	{2, "Windows", "shop", "Display, left", "above the shelf of seconds", "window", ask.ProvedStanding, signal.Restored},
	{2, "Windows", "shop", "Display, right", "above the shelf of seconds", "window", ask.FailedStanding, signal.Restored},
	{
		3,
		"Throwing room",
		"workshop",
		"Skylight, north",
		"use the pole behind the kiln door",
		"window",
		ask.OpenStanding,
		signal.Restored,
	},
	{
		3,
		"Throwing room",
		"workshop",
		"Skylight, south",
		"use the pole behind the kiln door",
		"window",
		ask.OpenStanding,
		signal.Restored,
	},
	{
		3,
		"Throwing room",
		"workshop",
		"Hatch to the clay store",
		"under the wheel by the wall",
		"door",
		ask.OpenStanding,
		signal.Restored,
	},
	{
		4,
		"Kiln room",
		"workshop",
		"Movement",
		"corner over the glaze buckets",
		"motion",
		ask.ReportedStanding,
		signal.Active,
	},
	{5, "Cellar", "", "Movement", "at the foot of the stairs", "motion", ask.LeftOutStanding, signal.Unknown},
	{6, "Covers", "", "Cover of the controller", "in the office", "tamper", ask.OpenStanding, signal.Tamper},
}

// studio is the board of a pottery studio in the middle of its walk.
func studio() ask.Board {
	b := ask.Board{Site: "Quince Lane Pottery", Visit: programme.Handover, Stage: programme.StageWalkTest, Current: "3.1",
		All: 9, Open: 4, Connected: true}
	place := 0
	for _, f := range fitted {
		if len(b.Zones) == 0 || b.Zones[len(b.Zones)-1].Name.Number != f.zone {
			b.Zones = append(b.Zones, ask.BoardZone{Name: programme.ZoneName{Number: f.zone, Name: f.zoneName}, Area: f.area,
				Kind: f.kind, Now: f.now})
			place = 0
		}
		z := &b.Zones[len(b.Zones)-1]
		d := ask.BoardDetector{Point: site.PointOf(f.zone, place), Name: f.name, Location: f.location, Kind: f.kind,
			Standing: f.standing}
		if f.standing == ask.FailedStanding {
			d.Verdict = record.Silent
		}
		z.Detectors = append(z.Detectors, d)
		place++
	}
	return b
}

// named is the name of a detector's step.
func named(point site.Point) programme.Name {
	for _, z := range studio().Zones {
		for _, d := range z.Detectors {
			if d.Point == point {
				return programme.Name{Kind: programme.StepDetector, ID: "walk/" + string(point), Stage: programme.StageWalkTest,
					Detector: &programme.DetectorName{Point: point, Name: d.Name, Zone: z.Name}}
			}
		}
	}
	panic("no detector " + point)
}

func kindOf(point site.Point) site.DetectorKind {
	for _, z := range studio().Zones {
		for _, d := range z.Detectors {
			if d.Point == point {
				return d.Kind
			}
		}
	}
	panic("no detector " + point)
}

var besides = []ask.Key{ask.Skip, ask.Note, ask.Ohms, ask.Jump, ask.Redo, ask.Leave, ask.Count, ask.Roam, ask.Look}

// ready is a detector whose turn it is.
func ready(point site.Point) ask.Watch {
	return ask.Watch{ID: "ready", Step: "walk/" + string(point), Cue: record.Operate, Waits: true,
		Title: ask.GoTo{Step: named(point)}, Keys: append([]ask.Key{ask.Ready}, besides...)}
}

// operated is a detector that was operated.
func operated(point site.Point, keys ...ask.Key) ask.Watch {
	return ask.Watch{ID: "operate", Step: "walk/" + string(point), Cue: record.Operate, Urgent: true,
		Title: ask.Now{Do: programme.Operating{Kind: kindOf(point)}, Step: named(point)},
		Keys:  append(keys, ask.Silent, ask.Again)}
}

// restoring is a detector that is brought to rest.
func restoring(point site.Point, keys ...ask.Key) ask.Watch {
	return ask.Watch{ID: "restore", Step: "walk/" + string(point), Cue: record.Restore, Urgent: true,
		Title: ask.Now{Do: programme.Restoring{Kind: kindOf(point)}, Step: named(point)},
		Keys:  append(keys, ask.Silent, ask.Again)}
}

// roaming is the walk in one's own order.
var roaming = ask.Watch{ID: "roam", Title: ask.Verbatim("Operate the detectors in any order"),
	Keys: []ask.Key{ask.Touch, ask.NotThat, ask.RoomDone, ask.InOrder, ask.Note, ask.Leave}}
