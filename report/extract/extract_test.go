package extract

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"testing"
	"time"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/identity"
	"loopwitness/report/seal"
	"loopwitness/report/verify"
)

// begun is the first entries of the pottery's journal, 0 for all.
func begun(t testing.TB, entries int) journal.Contents {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	if entries > 0 {
		raw = bytes.Join(bytes.SplitAfter(raw, []byte("\n"))[:entries], nil)
	}
	contents, err := journal.Read(bytes.NewReader(raw))
	require.NoError(t, err)
	return contents
}

// extracted is the record of a sealed certificate of so many entries.
func extracted(t testing.TB, entries int) Data {
	t.Helper()
	contents := begun(t, entries)
	id, err := identity.New(identity.Subject{Name: "x"}, time.Now(), 1)
	require.NoError(t, err)
	c, err := evidence.Make(
		contents,
		func(record.Photograph) ([]byte, error) { return nil, os.ErrNotExist },
		evidence.Making{Revision: 1, Tool: "loopwitness test", Made: time.Now(),
			SealedBy: certificate.Sealer{Kind: certificate.KeyHolder, Name: "x", Fingerprint: id.Fingerprint()}},
	)
	require.NoError(t, err)
	sealed, err := seal.Seal(context.Background(), c.Contents, id, seal.Stamper{})
	require.NoError(t, err)
	r := verify.Check("c.pdf", sealed.PDF, verify.Options{})
	require.Equal(t, verify.Intact, r.Outcome)
	return Checked(r, "loopwitness test")
}

// A validator that is not ours finds the data to follow the schema, of a finished
// visit and of one that has just begun.
func TestOutsideValidatorAcceptsTheData(t *testing.T) {
	schema, err := Schema()
	require.NoError(t, err)
	parsed, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema))
	require.NoError(t, err)
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	require.NoError(t, compiler.AddResource("record.json", parsed))
	compiled, err := compiler.Compile("record.json")
	require.NoError(t, err)
	valueOf := func(r Data) any {
		data, err := json.Marshal(r)
		require.NoError(t, err)
		value, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
		require.NoError(t, err)
		return value
	}
	for _, entries := range []int{0, 1, 40, 100} {
		assert.NoError(t, compiled.Validate(valueOf(fromFolder(t, entries))), "%d entries", entries)
		value := valueOf(extracted(t, entries))
		assert.NoError(t, compiled.Validate(value), "%d entries", entries)

		value.(map[string]any)["check"].(map[string]any)["outcome"] = "perfect"
		assert.Error(t, compiled.Validate(value), "an outcome that is none")
		delete(value.(map[string]any), "check")
		assert.Error(t, compiled.Validate(value), "whether it was checked is always told")
	}
}

// fromFolder is the record of a visit that nobody signed.
func fromFolder(t testing.TB, entries int) Data {
	t.Helper()
	contents := begun(t, entries)
	r, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	return From(judge.Assess(r), evidence.Digest(contents.Whole), "loopwitness test")
}

// A visit gives the same data before it is certified, and says that nothing vouches for it.
func TestVisitThatIsNotCertified(t *testing.T) {
	for _, entries := range []int{0, 1, 40, 100} {
		folder, file := fromFolder(t, entries), extracted(t, entries)
		assert.Nil(t, folder.Check)
		assert.Nil(t, folder.Certificate)
		data, err := json.Marshal(folder)
		require.NoError(t, err)
		assert.Contains(t, string(data), `"check":null,"certificate":null`)
		assert.Equal(t, entries > 0, folder.Visit.OpenSteps > 0, "%d entries", entries)
		file.Check, file.Certificate = nil, nil
		assert.Equal(t, file, folder, "%d entries", entries)
	}
	var out bytes.Buffer
	require.NoError(t, fromFolder(t, 40).WriteCSV(&out))
	lines, err := csv.NewReader(&out).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"none", ""}, lines[1][:2])
}

// What the pages say is what the data say.
func TestDataAgreeWithTheAssessment(t *testing.T) {
	r := extracted(t, 0)
	assert.Equal(t, "intact", r.Check.Outcome)
	assert.False(t, r.Check.Trusted)
	assert.False(t, r.Check.TimeConfirmed)
	assert.Len(t, r.Detectors, r.Site.Detectors)
	assert.True(t, r.Visit.Simulated)
	assert.Equal(t, "Saltglaze Pottery Studio", r.Site.Premises)
	proved := 0
	for _, d := range r.Detectors {
		if d.Verdict == "proved" {
			proved++
			require.NotNil(t, d.ResponseSecond)
			assert.LessOrEqual(t, *d.ResponseSecond, d.LimitSecond)
			if !site.DetectorKind(d.Kind).Trait().Slow { // the limit of the others
				assert.LessOrEqual(t, d.LimitSecond, r.Visit.LimitSecond)
			}
		}
	}
	assert.Positive(t, proved)
	assert.Equal(t, []string{"technician", "customer"}, []string{r.Names[0].Role, r.Names[1].Role})
}

func TestCSV(t *testing.T) {
	r := extracted(t, 0)
	r.Site.Premises = `=HYPERLINK("http://example.org"), "Kiln" & Sons`
	r.Detectors[0].Name = "-1+1"
	minus := -0.5
	r.Detectors[1].ResponseSecond = &minus
	var out bytes.Buffer
	require.NoError(t, r.WriteCSV(&out))
	lines, err := csv.NewReader(bytes.NewReader(out.Bytes())).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, columns, lines[0])
	rows := 3 // head, result, restart
	for _, n := range []int{len(r.Detectors), len(r.OnStandby), len(r.Readings), len(r.Faults), len(r.Outputs),
		len(r.Checklist), len(r.Cables), len(r.Computed), len(r.Findings), len(r.Limitations), len(r.Notes), len(r.Names)} {
		rows += n
	}
	for _, s := range r.Alarm {
		rows += len(s.Instants)
	}
	assert.Len(t, lines, rows)
	assert.NotEmpty(t, r.Alarm)
	require.NotNil(t, r.Restart)
	assert.Equal(t, `'=HYPERLINK("http://example.org"), "Kiln" & Sons`, lines[2][2],
		"a spreadsheet must not take a name for a formula")
	assert.Equal(t, "'-1+1", lines[2][8])
	assert.Equal(t, "-0.5", lines[3][9])
	limits := map[string]string{}
	for _, line := range lines[1:] {
		limits[line[6]+" "+line[7]+line[8]] = line[12]
	}
	for _, d := range r.Detectors[2:] {
		assert.Equal(t, number(&d.LimitSecond), limits["detector "+d.Point+d.Name],
			"a detector's own limit, not that of another")
	}
	assert.Empty(t, limits["supply Supply voltage, mains present"], "what is judged with others has no limit of its own")
	assert.Contains(t, out.String(), "\r\n")
}

// What only somebody claims is not told as confirmed.
func TestTimeAndTrustAreNotOverstated(t *testing.T) {
	for _, trusted := range []bool{false, true} {
		r := &verify.Report{
			Outcome: verify.Intact,
			Signature: &verify.Signer{Claimed: time.Unix(1000, 0),
				Stamp: &verify.Stamp{Time: time.Unix(2000, 0), Trusted: trusted},
				Trust: verify.Trust{Trusted: trusted}},
		}
		c := checkOf(r)
		assert.Equal(t, trusted, c.TimeConfirmed)
		assert.Equal(t, trusted, c.Trusted)
		assert.Equal(t, map[bool]string{false: "1970-01-01T00:16:40Z", true: "1970-01-01T00:33:20Z"}[trusted], c.SignedAt)
	}
	r := extracted(t, 0)
	a := r.Visit.Timing
	assert.Less(t, *a.MedianSecond, *a.MaxSecond)
	assert.Nil(t, a.P95Second, "of fewer than 20 values")
	answered := 0
	for _, d := range r.Detectors {
		if d.ResponseSecond != nil && !site.DetectorKind(d.Kind).Trait().Slow {
			answered++
		}
	}
	assert.Equal(t, answered, a.N)
}
