package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"loopwitness/checks"
)

type soundFlags struct {
	levels, at        []string
	distance, ambient string
	background        string
	within, frequency string
	class             int
}

func newCalcSound(s streams) *cobra.Command {
	f := &soundFlags{}
	cmd := calculator(
		s,
		"sound",
		"Sound level of sounders at a distance",
		"The level of a sounder at a distance outdoors (point source, free field), of several together, and the\n"+
			"margin over the ambient level. What level or margin is required is the local rule's to say. --level and\n"+
			"--at may be repeated.",
		func([]string) (*answer, error) { return f.compute() },
	)
	cmd.Flags().StringArrayVar(&f.levels, "level", nil, "level of a sounder, for example 100dB")
	cmd.Flags().StringArrayVar(&f.at, "at", []string{"1m"}, "distance that its level is stated for")
	cmd.Flags().StringVar(&f.distance, "distance", "", "distance that is asked for; without it, that of the level")
	cmd.Flags().StringVar(&f.ambient, "ambient", "", "ambient level")
	cmd.Flags().StringVar(&f.background, "background", "", "level with the sounder off, which each --level contains")
	cmd.Flags().IntVar(&f.class, "meter", 0,
		"class of the meter, 1 or 2, for the uncertainty of a level that was measured")
	cmd.Flags().StringVar(&f.frequency, "frequency", "", "what it sounds at, for example 3 kHz; without it 2 kHz to 4 kHz")
	cmd.Flags().StringVar(&f.within, "within", "0.1m", "how well the distance of a measured level is known, ±")
	return cmd
}

func (f *soundFlags) compute() (*answer, error) {
	var q quantities
	if len(f.levels) == 0 {
		q.errs = append(q.errs, "--level is needed")
	}
	if len(f.at) != 1 && len(f.at) != len(f.levels) {
		q.errs = append(q.errs, "--at is given once for all, or once for each --level")
	}
	if err := q.err(); err != nil {
		return nil, err
	}
	a := newAnswer()
	var there []float64
	for i, text := range f.levels {
		from := f.at[min(i, len(f.at)-1)]
		level, at := q.read("level", text, checks.SoundLevel), q.read("at", from, checks.Length)
		distance := at
		if f.distance != "" {
			distance = q.read("distance", f.distance, checks.Length)
		}
		if err := q.err(); err != nil {
			return nil, err
		}
		if f.background != "" {
			alone, err := checks.WithoutBackground(level.SI, q.read("background", f.background, checks.SoundLevel).SI)
			if err := errors.Join(q.err(), err); err != nil {
				return nil, err
			}
			a.say("alone       10·lg(10^(%s/10) − 10^(%s/10)) = %.2f dB", num(level.SI), f.background, alone)
			level.SI = alone
		}
		l, err := checks.LevelAt(level.SI, at.SI, distance.SI)
		if err != nil {
			return nil, err
		}
		there = append(there, l)
		a.say("sounder %d   L − 20·lg(d/d0) = %s dB − 20·lg(%s m/%s m) = %.2f dB", i+1, num(level.SI),
			num(distance.SI), num(at.SI), l)
	}
	combined, err := checks.AddLevels(there...)
	if err != nil {
		return nil, err
	}
	a.set("level_db", there[0])
	a.set("combined_db", combined)
	a.values["levels_db"] = there
	if len(there) > 1 {
		a.say("together    10·lg Σ 10^(L/10) = %.2f dB", combined)
	}
	return a, f.judge(&q, a, combined)
}

func (f *soundFlags) judge(q *quantities, a *answer, combined float64) error {
	if f.class != 0 {
		if err := f.meter(q, a); err != nil {
			return err
		}
	}
	if f.ambient != "" {
		ambient := q.read("ambient", f.ambient, checks.SoundLevel)
		if err := q.err(); err != nil {
			return err
		}
		margin := checks.MarginOverAmbient(combined, ambient.SI)
		a.set("margin_db", margin)
		a.say("margin      %.2f dB over an ambient level of %s dB", margin, num(ambient.SI))
	}
	return nil
}

// meter tells how uncertain the first level is that a meter of a class read.
func (f *soundFlags) meter(q *quantities, a *answer) error {
	from, to := 2000.0, 4000.0
	if f.frequency != "" {
		from = q.read("frequency", f.frequency, checks.Frequency).SI
		to = from
	}
	level, at := q.read("level", f.levels[0], checks.SoundLevel), q.read("at", f.at[0], checks.Length)
	within := q.read("within", f.within, checks.Length)
	if err := q.err(); err != nil {
		return err
	}
	tolerance, err := checks.MeterClass(f.class).Tolerance(from, to)
	if err != nil {
		return fmt.Errorf("--meter: %w", err)
	}
	budget := checks.SoundBudget{Tolerance: tolerance, Resolution: checks.SoundLevel.Resolution(level), Distance: at.SI,
		DistanceUncertainty: within.SI}
	down, up, err := budget.Expanded()
	if err != nil {
		return fmt.Errorf("--within: %w", err)
	}
	a.set("meter_tolerance_db", tolerance)
	a.set("expanded_down_db", down)
	a.set("expanded_up_db", up)
	a.say("meter       class %d reads within ± %.1f dB from %s Hz to %s Hz (IEC 61672-1:2013)", f.class, tolerance,
		num(from), num(to))
	a.say("uncertainty U = 2·√Σ(a/√3)² of meter, last digit and %s m ± %s m: −%.2f dB, +%.2f dB", num(at.SI),
		num(within.SI), down, up)
	return nil
}
