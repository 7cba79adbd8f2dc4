package visit

import (
	"context"
	"errors"
	"fmt"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// chime opens a followed zone and waits until the chime is heard.
func (v *Visit) chime(ctx context.Context, s *record.Outcome) error {
	for {
		if err := v.ready(ctx, s); err != nil || s.Concluded() {
			return err
		}
		end, heard, err := v.chimeTrial(ctx, s)
		switch {
		case errors.Is(err, errAgain):
			continue
		case err != nil || s.Concluded():
			if err == nil && end == record.ByHeard {
				v.operator.Tell(fmt.Sprintf("   %s heard %.1f s after the cue. Bring the zone to rest again.", s.Step().Output, heard.Seconds()))
			}
			return err
		}
		word, err := v.choose(ctx, s.Step().ID+"/not-heard", v.title(s)+" was not heard", "Repeat it, or leave it as it is: it will be a finding.",
			ask.Option{Word: "again", Label: "try again"},
			ask.Option{Word: string(record.AsItIs), Label: "leave it as it is"})
		if err != nil {
			return err
		}
		if word != "again" {
			return v.add(record.Answer{Step: s.Step().ID, Result: record.AsItIs})
		}
	}
}

func (v *Visit) chimeTrial(ctx context.Context, s *record.Outcome) (record.End, time.Duration, error) {
	trial, cueAt, err := v.cue(s, record.Operate)
	if err != nil {
		return "", 0, err
	}
	if bench, ok := v.source.(Bench); ok {
		bench.Act(s.Step().Point, record.Operate)
	}
	key, err := v.watch(ctx, ask.Watch{ID: s.Step().ID + "/heard", Alert: true, Title: "NOW " + words.English{}.Say(programme.Operating{Kind: trial.Zone().Kind}) + ", and listen for " + s.Step().Output,
		Lines: []string{v.title(s)},
		Keys:  []ask.Key{keyHeard, keySilent, keyAgain, keySkip, keyLeave}},
		func(r *record.Record, now time.Time) (time.Time, string, bool) {
			t, _ := r.Trial()
			return cueAt.Add(trial.Rules().ListenFor), fmt.Sprintf("%5.1f s  of %.0f s", now.Sub(cueAt).Seconds(), trial.Rules().ListenFor.Seconds()), t != trial
		})
	heard := v.clock.Now().Sub(cueAt)
	if bench, ok := v.source.(Bench); ok {
		bench.Act(s.Step().Point, record.Restore)
	}
	if err != nil {
		_, ending := v.endTrial(s, trial, record.ByPause)
		return "", 0, errors.Join(err, ending)
	}
	end, known := endOfKey[key]
	if !known {
		end = record.ByTime
	}
	if end, err = v.endTrial(s, trial, end); err != nil {
		return "", 0, err
	}
	switch end {
	case record.ByAgain, record.ByLost, record.ByOverrun:
		return end, 0, errAgain
	case record.ByLeaving:
		return end, 0, errLeave
	case record.BySkip:
		if err := v.leaveOut(ctx, s); !errors.Is(err, errBack) {
			return end, 0, err
		}
		return end, 0, errAgain
	}
	return end, heard, nil
}
