package phone

import (
	"context"
	"flag"
	"fmt"
	"net"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

var try = flag.String("try", "", "serve a talk that goes round and round at this address, for whoever writes the page")

// TestTry serves a page by hand:
//
//	go test ./commission/ask/phone -run TestTry -try 127.0.0.1:8099 -timeout 0 -v
func TestTry(t *testing.T) {
	if *try == "" {
		t.Skip("serves a page to try by hand; wants -try")
	}
	l, err := net.Listen("tcp", *try)
	require.NoError(t, err)
	s, tokens := New(Config{Language: words.English{}, Hosts: []string{l.Addr().String()}, Terminal: true,
		Texts: words.PageTexts(words.English{})})
	defer func() { _ = s.Open(l, nil).Close(ask.PhonePageOver{}) }()
	fmt.Printf(
		"technician: http://%s/#%s\nonlooker:   http://%s/#%s\n",
		l.Addr(),
		tokens.Technician,
		l.Addr(),
		tokens.Onlooker,
	)
	s.Serve(ask.OutOfTurn{
		Held: func(h record.Held) { fmt.Printf("held: %+v\n", h) },
		Photograph: func(about record.About, caption string, file []byte) (string, error) {
			fmt.Printf("photograph of %s, %q: %d bytes\n", about, caption, len(file))
			return "photograph-1.jpg", nil
		},
		Quiet: func() { fmt.Println("quiet"); s.Sounding(nil) },
	})
	for round := 1; ; round++ {
		goRound(t, s, round)
	}
}

func goRound(t *testing.T, s *Server, round int) {
	board := tryBoard()
	s.Board(board)
	questions := []ask.Question{
		{
			ID:   "q/one-of",
			What: ask.StageMatter,
			Step: "inspection/as-fitted",
			Redo: ask.NoteMatter,
			Takes: ask.OneOf{Options: []ask.Option{
				{Word: "leave", Label: ask.LeaveChoice}, {Word: "done", Label: ask.DoneChoice}}},
		},
		{
			ID:    "q/yes-no",
			What:  ask.Protected{Outputs: []string{"Sounder"}},
			Takes: ask.YesNo{Danger: true},
			Step:  "outputs/Sounder",
		},
		{ID: "q/yes-no-2", What: ask.Observed{Output: "Sounder"}, Takes: ask.YesNo{}, Optional: true, Shown: "yes"},
		{ID: "q/line", What: ask.NoteMatter, Help: ask.PrintedAdvice, Takes: ask.Line{}, Optional: true},
		{
			ID:      "q/quantity",
			What:    ask.LoopMatter,
			Takes:   ask.Quantity{In: checks.Resistance, Instead: ask.OpenLoop},
			WayBack: "back",
		},
		{
			ID:    "q/volt",
			What:  ask.CurrentMatter,
			Takes: ask.Quantity{In: checks.Current, Instead: ask.NotMeasured, Unit: "A"},
			Shown: "0.3 A",
		},
		{ID: "q/level", What: ask.LevelMatter, Help: ask.LevelAdvice, Takes: ask.SoundLevel{}, Optional: true},
		{ID: "q/date", What: ask.CalibrationMatter, Takes: ask.Date{From: "2026-01-01", To: "2030-01-01"}, Optional: true},
		{ID: "q/names", What: ask.DetectorMatter, Takes: ask.Names{Of: []string{"1.1", "1.2", "2.1"}}},
		{ID: "q/items", What: ask.StageMatter, Takes: ask.Items{Of: []ask.Item{
			{Word: "1", Step: "inspection/a", Label: ask.Verbatim("The controller is fixed, and its door locks")},
			{
				Word:   "2",
				Step:   "inspection/b",
				Label:  ask.Verbatim("<b>Cables</b> are \u202e held"),
				Result: record.Defect,
				Remark: "loose",
			},
			{Word: "3", Step: "inspection/c", Label: ask.Verbatim("The path off site reports"), Result: record.Done}}}},
		{
			ID:    programme.IDCustomer,
			What:  ask.AcceptanceMatter,
			Help:  ask.AcceptAdvice,
			About: []ask.Phrase{ask.NothingOutstanding{}},
			Takes: ask.OneOf{
				Options: []ask.Option{{Word: "accept", Label: ask.AcceptChoice}, {Word: "refuses", Label: ask.RefuseChoice}},
			},
		},
		{
			ID:       programme.IDCustomer + "/drawing",
			What:     ask.SignatureOf{Name: "Ignace", Role: "customer"},
			Takes:    ask.Signature{},
			Optional: true,
		},
	}
	point := site.Point("1.1")
	detector := programme.Name{Kind: programme.StepDetector, ID: "walk/1.1", Stage: programme.StageWalkTest,
		Detector: &programme.DetectorName{
			Point: point,
			Name:  "Front door",
			Zone:  programme.ZoneName{Number: 1, Name: "Shop"},
		}}
	press := func(w ask.Watch, ends time.Duration) ask.Pressed {
		watching, err := s.Watch(context.Background(), w)
		require.NoError(t, err)
		defer watching.Close()
		began := time.Now()
		tick := time.NewTicker(100 * time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case k := <-watching.Pressed():
				fmt.Printf(
					"round %d: %s %s ±%s tap %+v not timed %q to %q\n",
					round,
					k.Key,
					time.Since(k.At),
					k.Uncertainty,
					k.Tap,
					k.NotTimed,
					k.To,
				)
				return k
			case <-tick.C:
				watching.Status(ask.TrialStatus{Since: time.Since(began), ListenFor: 15 * time.Second, Limit: 2 * time.Second})
				if ends > 0 && time.Since(began) > ends {
					return ask.Pressed{}
				}
			}
		}
	}
	more := []ask.Key{ask.Skip, ask.Note, ask.Ohms, ask.Jump, ask.Leave}
	press(ask.Watch{ID: "ready", Step: "walk/1.1", Cue: record.Operate, Waits: true, Title: ask.GoTo{Step: detector},
		Lines: []ask.Phrase{
			ask.Where{Location: "entrance"},
			programme.Operating{Kind: "door"},
		}, Keys: append([]ask.Key{ask.Ready}, more...)}, 0)
	press(ask.Watch{ID: "operate", Step: "walk/1.1", Cue: record.Operate, Urgent: true,
		Title: ask.Now{
			Do:   programme.Operating{Kind: "door"},
			Step: detector,
		}, Keys: []ask.Key{ask.Indicated, ask.Silent, ask.Again}}, 4*time.Second)
	board.Zones[0].Now = signal.Active
	s.Board(board)
	press(ask.Watch{ID: "restore", Step: "walk/1.1", Cue: record.Restore, Urgent: true,
		Title: ask.Now{
			Do:   programme.Restoring{Kind: "door"},
			Step: detector,
		}, Keys: []ask.Key{ask.AtRest, ask.Silent}}, 4*time.Second)
	board.Zones[0].Now, board.Zones[0].Detectors[0].Standing = signal.Restored, ask.ProvedStanding
	s.Board(board)
	s.Tell(
		ask.Proved{Point: point, Reported: time.Second, Restored: time.Second},
		ask.TrialShown{
			Point: "1.2",
			Shown: judge.Shown{Half: record.Operate, Judgement: record.Judgement{Verdict: record.Silent}},
		},
		ask.LoudCaution{},
		ask.MayBeOn{Outputs: []string{"Sounder"}},
		ask.StageBegins{Stage: programme.StageOutputs},
	)
	s.Sounding([]string{"Sounder"})
	for _, q := range questions {
		a, err := s.Ask(context.Background(), q)
		fmt.Printf("round %d: %s: %q, strokes %v, redo %v, %v\n", round, q.ID, a.Text, a.Strokes != nil, a.Redo, err)
	}
}

func tryBoard() ask.Board {
	b := ask.Board{Site: "Pottery studio", Visit: programme.Handover, Stage: programme.StageWalkTest, Current: "1.1",
		All: 23, Open: 14, Connected: true}
	for z := 1; z <= 4; z++ {
		zone := ask.BoardZone{
			Name: programme.ZoneName{Number: z, Name: "Zone of the kiln"},
			Area: "ground floor",
			Kind: "door",
			Now:  signal.Restored,
		}
		for d := range z {
			zone.Detectors = append(zone.Detectors, ask.BoardDetector{Point: site.PointOf(z, d), Name: "Door", Kind: "door",
				Location: "at the back", Standing: []ask.Standing{ask.OpenStanding, ask.ProvedStanding, ask.FailedStanding, ask.LeftOutStanding}[d%4]})
		}
		b.Zones = append(b.Zones, zone)
	}
	return b
}
