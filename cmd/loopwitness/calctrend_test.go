package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSeries(t *testing.T) {
	s, err := readSeries("f", strings.NewReader("\ufefftime,value\n# a remark\n2024-01-01,1\n2026-01-01T00:00:00Z, 3 "+
		"\n\n\"2025-01-01\",\"\"\n"))
	require.NoError(t, err)
	assert.True(t, s.dates)
	assert.Equal(t, []float64{1, 3}, s.values)
	assert.InDeltaSlice(t, []float64{0, 731 / 365.25}, s.times, 1e-12)
	assert.Equal(t, 1, s.missing)

	for text, want := range map[string]string{
		"1,2\n3;4\n":                     "f:2:4: a line has a time and a value, with one comma between them",
		"1,2\n3,4,5\n":                   "f:2:4: a line has a time and a value, with one comma between them",
		"1,2\n3,\u00a04x\n":              "f:2:4: \"4x\" is no number",
		"1,2\n3,NaN\n":                   "f:2:3: \"NaN\" is no number",
		"1,2\n3,1e999\n":                 "f:2:3: \"1e999\" is no number",
		"1,2\ntoday,3\n":                 "f:2:1: \"today\" is no time",
		"1,2\n,3\n":                      "f:2:1: \"\" is no time",
		"1,2\n2024-01-01,3\n":            "f:2:1: times are either all numbers or all dates",
		"2024-01-01,\n2,3\n":             "f:2:1: times are either all numbers or all dates",
		"ü,value\nö,value\n":             "f:2:1: \"ö\" is no time",
		"2024-02-30,1\n":                 "f:1:1: \"2024-02-30\" is no time",
		"1," + strings.Repeat("1", 5000): "f:1:1: a line longer than",
	} {
		_, err := readSeries("f", strings.NewReader(text))
		require.ErrorContains(t, err, want, text)
	}
}

// The keys are those that others read, and null where there is nothing.
func TestTrendOfFiles(t *testing.T) {
	for name, want := range map[string]string{
		"i1": `{"n":3,"s":3,"var_s":3.6666666666666665,"z":1.044465935734187,"p_two_sided":0.2962699,"p_exact_one_sided":0.16666666666666666,"slope_per_unit":1,"slope_low":null,"slope_high":null}`,
		"e":  `{"n":12,"s":34,"p_exact_one_sided":null}`,
		"i3": `{"n":4,"s":5,"p_exact_one_sided":null,"slope_low":null}`,
		"i6": `{"n":6,"s":13,"p_exact_one_sided":0.008333333,"slope_per_unit":0.0266666667,"slope_low":0.0078365,"slope_high":0.0435818}`,
	} {
		a, err := trendOfFile("../../testdata/trend/" + name + ".csv")
		require.NoError(t, err, name)
		var expected map[string]any
		require.NoError(t, json.Unmarshal([]byte(want), &expected))
		assert.Len(t, a.values, 9, name)
		for key, value := range expected {
			got, there := a.values[key]
			require.True(t, there, "%s %s", name, key)
			if value == nil {
				assert.Nil(t, got, "%s %s", name, key)
				continue
			}
			assert.InDelta(t, value, got, 5e-7, "%s %s", name, key)
		}
	}
	// All EPA data: reading a file loses nothing.
	a, err := trendOfFile("../../testdata/trend/a.csv")
	require.NoError(t, err)
	assert.InDelta(t, 26.6666667, a.values["slope_per_unit"], 5e-8)

	said, err := trendOfFile("../../testdata/trend/i1.csv")
	require.NoError(t, err)
	assert.Contains(t, strings.Join(said.working, "\n"), "no trend is claimed from fewer than 4 values.")
	assert.Contains(t, strings.Join(said.working, "\n"), "none: too few values")
}

func TestTrendOfDates(t *testing.T) {
	path := filepath.Join(t.TempDir(), "dates.csv")
	require.NoError(
		t,
		os.WriteFile(
			path,
			[]byte("2020-01-01,1\n2021-01-01,2\n2022-01-01,\n2023-01-01,4\n2024-01-01,5\n2019-01-01,0\n"),
			0o600,
		),
	)
	a, err := trendOfFile(path)
	require.NoError(t, err)
	text := strings.Join(a.working, "\n")
	assert.Equal(t, 5, a.values["n"])
	assert.InDelta(t, 1, a.values["slope_per_unit"], 0.002)
	assert.Contains(t, text, "missing and passed over: 1")
	assert.Contains(t, text, "per year of 365.25 days")
	assert.Contains(t, text, "the values rise.")
	require.NoError(t, os.WriteFile(path, []byte("1,1\n"), 0o600))
	_, err = trendOfFile(path)
	require.ErrorContains(t, err, "1 values; a trend is of 2 to")
}

// Whatever a file holds: what is read of it is numbers, as many times as values, and what is
// refused has a place.
func FuzzSeries(f *testing.F) {
	f.Add("time,value\n2024-01-01,1.5\n2025-01-01,\n")
	f.Add("1,2\n2,\"3\"\n# x\n")
	f.Add("1,2\n0001-01-01,3\n")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := readSeries("f", strings.NewReader(text))
		if err != nil {
			if !strings.HasPrefix(err.Error(), "f:") || len(s.values) > 0 {
				t.Fatal(err)
			}
			return
		}
		if len(s.times) != len(s.values) {
			t.Fatal(len(s.times), len(s.values))
		}
		for i := range s.values {
			if math.IsNaN(s.times[i]+s.values[i]) || math.IsInf(s.times[i], 0) || math.IsInf(s.values[i], 0) {
				t.Fatal(s.times[i], s.values[i])
			}
		}
	})
}
