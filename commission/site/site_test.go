package site

import (
	"bytes"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/strictyaml"
)

var update = flag.Bool("update", false, "rewrite golden files; read the difference")

const demoSite = "../../cmd/loopwitness/demo/site.yaml"

// Every error of a file is told at once, each with its place and what would be
// accepted.
func TestErrorsOfSiteFiles(t *testing.T) {
	files, err := filepath.Glob("testdata/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		s, err := Read(filepath.Base(file), data)
		require.Error(t, err, file)
		require.ErrorIs(t, err, strictyaml.ErrRefused)
		assert.Nil(t, s)
		golden := strings.TrimSuffix(file, ".yaml") + ".golden"
		if *update {
			require.NoError(t, os.WriteFile(golden, []byte(err.Error()+"\n"), 0o644))
		}
		want, readErr := os.ReadFile(golden)
		require.NoError(t, readErr)
		assert.Equal(t, string(want), err.Error()+"\n", file)
	}
}

func TestHostileFilesAreRefusedQuickly(t *testing.T) {
	bomb := "a: &a [x,x,x,x,x,x,x,x,x]\n"
	for c := 'b'; c < 'z'; c++ {
		p := string(c - 1)
		bomb += string(c) + ": &" + string(c) + " [*" + p + ",*" + p + ",*" + p + ",*" + p + ",*" + p + ",*" + p + "]\n"
	}
	for name, data := range map[string]string{
		"50 MB":              strings.Repeat("zones: \n", 50<<20/8),
		"brackets":           strings.Repeat("[", 200_000),
		"dashes":             strings.Repeat("- ", 200_000),
		"a line of brackets": "reference: " + strings.Repeat("{a: ", 20_000),
		"alias bomb":         bomb,
		"not UTF-8":          "reference: \xff\xfe",
		"empty":              "",
		"nothing but blanks": " \n\t\n",
		"control characters": "reference: a\x00b",
		"anchors and merges": "x: &x {a: 1}\ny: {<<: *x}\n",
		"many wrong keys":    strings.Repeat("k: 1\n", 100_000),
	} {
		began := time.Now()
		_, err := Read("site.yaml", []byte(data))
		require.ErrorIs(t, err, strictyaml.ErrRefused, name)
		assert.Less(t, len(err.Error()), 40_000, name)
		assert.Less(t, time.Since(began), 10*time.Second, "%s: not refused but worked through", name)
	}
}

// What people type is shown as typed: no number is converted on the way.
func TestTextsStayAsTyped(t *testing.T) {
	s, err := Read("site.yaml", []byte(`
reference: 0123
premises: {name: 1.5, address: 4.7e3}
installer: {company: yes, licence: 0x1F, phone: 2026-11-24}
controller: {description: "🏺 <b>"}
supply: {battery: {chemistry: none}}
zones: [{number: 1, name: ~1, kind: door, wiring: normally closed, address: 00, detectors: [007, 1_000]}]
`))
	require.NoError(t, err)
	assert.Equal(t, "0123", s.Reference)
	assert.Equal(t, Premises{Name: "1.5", Address: "4.7e3"}, s.Premises)
	assert.Equal(t, Installer{Company: "yes", Licence: "0x1F", Phone: "2026-11-24"}, s.Installer)
	assert.Equal(t, "00", s.Zones[0].Address)
	assert.Equal(t, "007", s.Zones[0].Detectors[0].Name)
	assert.Equal(t, "1_000", s.Zones[0].Detectors[1].Name)
}

func TestDefaultsSayThatTheyAreCommonPractice(t *testing.T) {
	data, err := os.ReadFile(demoSite)
	require.NoError(t, err)
	s, err := Read("site.yaml", data)
	require.NoError(t, err)
	assert.Equal(t, "agreed with the customer", s.Limits.Response["door"].Source)
	assert.Equal(t, Named, s.Limits.Standby.By)
	assert.Equal(t, Limit{}, s.Limits.MainsLower)
	ours, err := Read("site.yaml", data[:bytes.Index(data, []byte("limits:"))])
	require.NoError(t, err)
	assert.Equal(t, CommonPractice, ours.Limits.Standby.By)
	assert.Equal(t, Limit{SI: 30, By: CommonPractice}, ours.Limits.Response["smoke"])
	assert.Equal(t, Limit{SI: 30, By: CommonPractice}, ours.Limits.Restore["motion"])
	assert.Equal(t, []time.Duration{0, time.Minute, 5 * time.Minute, 10 * time.Minute}, s.Supply.Readings)
	assert.Equal(t, 16, s.Detectors())
	z, d, err := s.Find("3.2")
	require.NoError(t, err)
	assert.Equal(t, "z03", z.Address)
	assert.Equal(t, "Window above wheel 2", d.Name)
	assert.Equal(t, s.Zone(3), s.ZoneAt("z03"))
}

// A site that is written reads back as it was.
func TestFormatReadsBack(t *testing.T) {
	data, err := os.ReadFile(demoSite)
	require.NoError(t, err)
	s, err := Read("site.yaml", data)
	require.NoError(t, err)
	s.Premises.Use = "names with \"quotes\", 🏺 and <tags>"
	back, err := Read("site.yaml", Format(s))
	require.NoError(t, err, string(Format(s)))
	s.Raw, back.Raw = nil, nil
	assert.Equal(t, Limit{10.5, Named, "agreed with the customer"}, back.Limits.AlarmLoad)
	assert.Equal(t, Limit{30, Named, "agreed with the customer"}, back.Limits.Restore["motion"])
	s.Limits, back.Limits = Limits{}, Limits{}
	assert.Equal(t, s, back)
}

// What nobody said stands there as a comment, which declares it once its marks are taken away.
func TestUsualLimitsAreNotDeclaredByWritingThem(t *testing.T) {
	data := Format(large(1))
	s, err := Read("site.yaml", data)
	require.NoError(t, err, string(data))
	for key, l := range s.Limits.single() {
		assert.False(t, l.Declared(), key)
	}
	assert.False(t, s.Limits.Response[kindWindow].Declared())

	_, limits, found := bytes.Cut(data, []byte("\n# limits:\n"))
	require.True(t, found, string(data))
	own := append(bytes.TrimSuffix(data, append([]byte("# limits:\n"), limits...)), "limits:\n"...)
	own = append(own, regexp.MustCompile(`(?m)^# `).ReplaceAll(limits, nil)...)
	s, err = Read("site.yaml", own)
	require.NoError(t, err, string(own))
	assert.Equal(t, Limit{11.5, SiteFile, ""}, s.Limits.Standby)
	assert.Equal(t, Limit{2, SiteFile, ""}, s.Limits.Response[kindWindow])
}

func TestLargeSite(t *testing.T) {
	back, err := Read("site.yaml", Format(large(500)))
	require.NoError(t, err)
	assert.Equal(t, 1000, back.Detectors())
}

func large(zones int) *Site {
	s := &Site{Reference: "L", Premises: Premises{Name: "a", Address: "b"}, Installer: Installer{Company: "c"},
		Controller: Controller{Description: "d"}}
	s.Supply.Battery.Chemistry = "none"
	for i := 1; i <= zones; i++ {
		p := PointOf(i, 0)
		s.Zones = append(
			s.Zones,
			Zone{Number: i, Name: "Zone " + string(p), Kind: kindWindow, Wiring: NormallyClosed, Address: "z" + string(p),
				Detectors: []Detector{{Name: "left"}, {Name: "right"}}},
		)
	}
	return s
}

func BenchmarkReadLargeSite(b *testing.B) {
	data := Format(large(500))
	for b.Loop() {
		if _, err := Read("site.yaml", data); err != nil {
			b.Fatal(err)
		}
	}
}

// Nothing that is read panics; what is refused gives no site, and its error
// fits a screen.
func FuzzRead(f *testing.F) {
	data, err := os.ReadFile(demoSite)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(data))
	f.Add("reference: [\n")
	f.Add("zones: [{number: 1}]\nlimits: {restore: x}")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := Read("site.yaml", []byte(text))
		if err == nil {
			if string(s.Raw) != text || len(s.Zones) == 0 {
				t.Fatal("accepted without its bytes or zones")
			}
			return
		}
		if s != nil || !errors.Is(err, strictyaml.ErrRefused) || strings.Contains(err.Error(), "\x1b") {
			t.Fatalf("%v, %q", s, err)
		}
	})
}

// Every key that the guide lists is read, and says what it is.
func TestKeysAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range Keys() {
		assert.False(t, seen[k.Path], "%s stands twice", k.Path)
		seen[k.Path] = true
		assert.NotEmpty(t, k.Means, k.Path)
		takes := 0
		for _, given := range []bool{k.Takes != "", len(k.Words) > 0, k.In.SI != ""} {
			if given {
				takes++
			}
		}
		assert.Equal(t, 1, takes, k.Path)
		if k.Takes != asKeys && k.Takes != asList {
			assert.NotEmpty(t, k.Changes+k.Example, k.Path)
		}
		if k.In.SI != "" {
			_, err := k.In.Parse(k.Example)
			assert.NoError(t, err, k.Path)
		}
	}
	assert.Contains(t, under("supply"), "loads")
	assert.Contains(t, under("zones[].detectors[]"), "powered")
}
