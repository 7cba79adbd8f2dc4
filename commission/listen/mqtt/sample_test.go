package mqtt

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
)

// metered takes samples, too.
type metered struct {
	heard
	samples []signal.Sample
}

func (m *metered) Sample(s signal.Sample) { m.samples = append(m.samples, s) }

type retained struct{ received }

func (retained) Retained() bool { return true }

// The voltage comes from its topic alone, live, and as far as it can be one; a source
// that tells it says so.
func TestSamples(t *testing.T) {
	m := &metered{}
	c := New(Config{Supply: &SupplyRule{Topic: "studio/supply", Value: "/mv", Scale: 0.001}}, clock.Real{})
	assert.True(t, c.About().Sampled)
	assert.False(t, New(Config{}, clock.Real{}).About().Sampled)
	c.to = m
	c.message(nil, received{"studio/supply", `{"mv":12610}`})
	for _, none := range []received{{"studio/other", `{"mv":12610}`}, {"studio/supply", `{"mv":"NaN"}`},
		{"studio/supply", `{"mv":-1}`}, {"studio/supply", `{"mv":100001}`}, {"studio/supply", `{"v":12}`},
		{"studio/supply", "12610"}, {"studio/supply", `{"mv":"1e999"}`}} {
		c.message(nil, none)
	}
	c.message(nil, retained{received{"studio/supply", `{"mv":12700}`}})
	if assert.Len(t, m.samples, 1) {
		assert.InDelta(t, 12.61, m.samples[0].Volt, 1e-9)
		assert.Equal(t, `"{\"mv\":12610}"`, m.samples[0].Raw)
		assert.False(t, m.samples[0].At.IsZero())
	}
	c.to = &heard{}
	assert.NotPanics(t, func() { c.message(nil, received{"studio/supply", `{"mv":12610}`}) }, "who takes none")
}

// Whatever is published, a voltage is one that a supply can have.
func FuzzVolt(f *testing.F) {
	f.Add("", 1.0, "12.61")
	f.Add("/a/0", 0.001, `{"a":["12610"]}`)
	f.Add("/", 1e6, "0x1p-3")
	f.Fuzz(func(t *testing.T, pointer string, scale float64, message string) {
		volt, ok := SupplyRule{Value: pointer, Scale: scale}.volt([]byte(message))
		if ok && (math.IsNaN(volt) || volt < 0 || volt > 100) {
			t.Fatalf("%v", volt)
		}
	})
}
