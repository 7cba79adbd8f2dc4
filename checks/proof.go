package checks

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ProportionLowerBound is the exact (Clopper–Pearson) one-sided lower bound at
// the confidence given (between 0 and 1) on the probability of an answer, from
// successes in trials: the α-quantile of Beta(s, n − s + 1), α = 1 − confidence;
// α^(1/n) when none was missed, 0 when none succeeded. Source: Clopper and
// Pearson, Biometrika 26 (1934); NIST/SEMATECH e-Handbook 7.2.4.1.
func ProportionLowerBound(successes, trials int, confidence float64) (float64, error) {
	if trials < 1 || successes < 0 || successes > trials {
		return 0, fmt.Errorf("%w: %d successes in %d trials", ErrQuantity, successes, trials)
	}
	if !(confidence > 0 && confidence < 1) {
		return 0, fmt.Errorf("%w: confidence %v must lie between 0 and 1", ErrQuantity, confidence)
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
