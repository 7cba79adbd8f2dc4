package checks

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Conductor is a wire size as written: American wire gauge or a metric
// cross-section.
type Conductor struct {
	Text    string
	AreaMM2 float64
	Gauge   bool // written as AWG
	AWG     int  // 0 for 1/0, −1 for 2/0, −3 for 4/0; only if Gauge
}

// ParseConductor reads "22 AWG", "AWG 22", "2/0 AWG", "0.22 mm2" or
// "0.22 mm²". Gauges run from 4/0 to 50. The error wraps ErrQuantity.
func ParseConductor(text string) (Conductor, error) {
	t := strings.Join(strings.Fields(text), " ")
	upper := strings.ToUpper(t)
	if !strings.Contains(upper, "AWG") {
		q, err := Area.Parse(text)
		if err != nil {
			return Conductor{}, fmt.Errorf("%w, 22 AWG", err)
		}
		return Conductor{Text: q.Text, AreaMM2: q.SI}, nil
	}
	n, err := gaugeNumber(strings.TrimSpace(strings.Replace(upper, "AWG", "", 1)))
	if err != nil || len(t) > maxQuantityText {
		return Conductor{}, fmt.Errorf("%w: %q is not a wire gauge; write for example 22 AWG, 2/0 AWG, 0.22 mm2",
			ErrQuantity, cut(t))
	}
	d := gaugeDiameterMM(n)
	return Conductor{Text: t, AreaMM2: math.Pi * d * d / 4, Gauge: true, AWG: n}, nil
}

func gaugeNumber(s string) (int, error) {
	if zeros, ok := strings.CutSuffix(s, "/0"); ok {
		n, err := strconv.Atoi(zeros)
		if err != nil || n < 1 || n > 4 {
			return 0, ErrQuantity
		}
		return 1 - n, nil
	}
	n, err := strconv.Atoi(s)
	if err != nil || n < 0 || n > 50 {
		return 0, ErrQuantity
	}
	return n, nil
}

func cut(s string) string {
	if len(s) > maxQuantityText {
		return strings.ToValidUTF8(s[:maxQuantityText], "") + "…"
	}
	return s
}

// gaugeDiameterMM is the diameter in millimetres of a solid round conductor of
// American wire gauge n (1/0 is 0, 4/0 is −3): 0.127 mm × 92^((36 − n)/39).
// Source: ASTM B258.
func gaugeDiameterMM(n int) float64 {
	return 0.127 * math.Pow(92, float64(36-n)/39)
}

// NearestGauge is the American wire gauge whose solid round conductor has the diameter nearest
// to that of a cross-section (mm², above zero), by the logarithm in which gauges are equally far
// apart; from 4/0 to 50, the ends for what lies beyond. The inverse of gaugeDiameterMM.
func NearestGauge(areaMM2 float64) string {
	d := math.Sqrt(4 * areaMM2 / math.Pi)
	n := min(max(int(math.Round(36-39*math.Log(d/0.127)/math.Log(92))), -3), 50)
	if n < 1 {
		return fmt.Sprintf("%d/0 AWG", 1-n)
	}
	return fmt.Sprintf("%d AWG", n)
}
