package checks

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// maxTrials bounds counts: no walk-test has more, and beyond it the quantiles
// lose digits.
const maxTrials = 10_000_000

func validProof(successes, trials int, confidence float64) error {
	if trials < 1 || trials > maxTrials || successes < 0 || successes > trials {
		return fmt.Errorf("%w: %d successes in %d trials", ErrQuantity, successes, trials)
	}
	if !(confidence > 0 && confidence < 1) {
		return fmt.Errorf("%w: a confidence of %v; it lies between 0 %% and 100 %%", ErrQuantity, confidence)
	}
	return nil
}

// ProportionLowerBound is the exact (Clopper–Pearson) one-sided lower bound at
// the confidence given (between 0 and 1) on the probability of an answer, from
// successes in trials: the α-quantile of Beta(s, n − s + 1), α = 1 − confidence;
// α^(1/n) when none was missed, 0 when none succeeded. Source: Clopper and
// Pearson, Biometrika 26 (1934); NIST/SEMATECH e-Handbook 7.2.4.1.
func ProportionLowerBound(successes, trials int, confidence float64) (float64, error) {
	if err := validProof(successes, trials, confidence); err != nil {
		return 0, err
	}
	alpha := 1 - confidence
	switch successes {
	case 0:
		return 0, nil
	case trials:
		return math.Pow(alpha, 1/float64(trials)), nil
	}
	return distuv.Beta{Alpha: float64(successes), Beta: float64(trials-successes) + 1}.Quantile(alpha), nil
}

// ProportionUpperBound is the one-sided upper bound, likewise: one less the
// lower bound on the misses.
func ProportionUpperBound(successes, trials int, confidence float64) (float64, error) {
	lower, err := ProportionLowerBound(trials-successes, trials, confidence)
	if err != nil {
		return 0, validProof(successes, trials, confidence)
	}
	return 1 - lower, nil
}

// TrialsNeeded is how many trials without a miss show a probability at a
// confidence: ⌈ln(1 − C)/ln R⌉, the binomial form (the Bayes form with a uniform
// prior needs one fewer). Both lie between 0 and 1.
func TrialsNeeded(probability, confidence float64) (int, error) {
	if !(probability > 0 && probability < 1) || !(confidence > 0 && confidence < 1) {
		return 0, fmt.Errorf("%w: showing %v at a confidence of %v; both lie between 0 %% and 100 %%", ErrQuantity,
			probability, confidence)
	}
	n := math.Ceil(math.Log1p(-confidence)/math.Log(probability) - 1e-9) // 0.9 at 0.9^22 must not round up to 23
	if n > maxTrials {
		return 0, fmt.Errorf("%w: showing %v takes more than %d trials", ErrQuantity, probability, maxTrials)
	}
	return max(1, int(n)), nil
}
