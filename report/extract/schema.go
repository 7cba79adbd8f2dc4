package extract

import (
	"encoding/json"

	"github.com/invopop/jsonschema"
)

// Version is that of the schema.
const Version = 1

// Data is a visit as data.
type Data struct {
	Schema       int              `json:"schema" jsonschema:"description=version of this schema"`
	JudgedWith   string           `json:"judged_with" jsonschema:"description=name and version of the tool that judged the record and checked the file"`
	RecordSHA256 string           `json:"record_sha256" jsonschema:"description=of the journal; printed on every page of a certificate"`
	Check        *Check           `json:"check" jsonschema:"nullable,description=what came of checking the file that this was taken from; believe nothing below unless outcome is intact and you know the key. Null: taken from a job's folder; nothing was signed and nothing was checked"`
	Certificate  *CertificateFile `json:"certificate" jsonschema:"nullable,description=null: taken from a job's folder"`
	Visit        Visit            `json:"visit"`
	Site         Site             `json:"site"`
	Detectors    []Detector       `json:"detectors" jsonschema:"description=every detector of the walk-test"`
	OnStandby    []Detector       `json:"on_standby" jsonschema:"description=detectors operated again while mains was removed"`
	Readings     []Reading        `json:"readings" jsonschema:"description=supply voltages"`
	Restart      *Restart         `json:"restart,omitempty" jsonschema:"description=cold restart: adapter and battery disconnected and connected again"`
	Outputs      []Output         `json:"outputs"`
	Checklist    []CheckItem      `json:"checklist"`
	Computed     []Computation    `json:"computed"`
	Findings     []Finding        `json:"findings" jsonschema:"description=to be put right and tested again"`
	Limitations  []Finding        `json:"limitations" jsonschema:"description=of what the certificate shows"`
	Names        []Name           `json:"names" jsonschema:"description=who signed for what"`
	Photographs  []Photograph     `json:"photographs"`
}

// Check is what came of checking the file.
type Check struct {
	Outcome        string   `json:"outcome" jsonschema:"enum=intact,enum=fails,enum=unchecked"`
	Problems       []string `json:"problems" jsonschema:"description=in words"`
	SignedBy       string   `json:"signed_by,omitempty" jsonschema:"description=name that the key's owner gave it; anybody can write any name"`
	KeyFingerprint string   `json:"key_fingerprint,omitempty" jsonschema:"description=SHA-256 of the signing certificate; this is what tells whose key it is"`
	Trusted        bool     `json:"trusted" jsonschema:"description=the signer is among those that were named as trusted"`
	SignedAt       string   `json:"signed_at,omitempty" jsonschema:"format=date-time"`
	TimeConfirmed  bool     `json:"time_confirmed" jsonschema:"description=signed_at is of a trusted time stamp; else the signer's own clock says so"`
}

// CertificateFile is the file that the record was taken from.
type CertificateFile struct {
	Number string `json:"number" jsonschema:"description=with its revision"`
	Tool   string `json:"tool" jsonschema:"description=name and version that wrote it"`
}

// Visit is one attendance.
type Visit struct {
	Document  string  `json:"document" jsonschema:"description=number of its certificates without the revision"`
	Kind      string  `json:"kind" jsonschema:"enum=handover,enum=maintenance,enum=retest"`
	Begun     string  `json:"begun" jsonschema:"format=date-time"`
	LastEntry string  `json:"last_entry" jsonschema:"format=date-time"`
	OpenSteps int     `json:"open_steps" jsonschema:"description=that are not taken yet; as long as there are any the result is not final"`
	Follows   string  `json:"follows,omitempty" jsonschema:"description=the visit that a retest follows"`
	Simulated bool    `json:"simulated" jsonschema:"description=practice on a simulated controller: no evidence of any installation"`
	Result    string  `json:"result" jsonschema:"enum=satisfactory,enum=satisfactory with limitations,enum=unsatisfactory"`
	Timing    Timing  `json:"timing"`
	Proof     Proof   `json:"proof"`
	LimitS    float64 `json:"response_limit_s"`
}

// Timing sums the response times up.
type Timing struct {
	N       int      `json:"n"`
	MedianS *float64 `json:"median_s,omitempty"`
	P95S    *float64 `json:"p95_s,omitempty" jsonschema:"description=95 % respond within; by p(N+1)"`
	MaxS    *float64 `json:"max_s,omitempty"`
}

// Proof is what the operations prove.
type Proof struct {
	Operations int      `json:"operations"`
	Reported   int      `json:"reported"`
	LowerBound *float64 `json:"lower_bound,omitempty" jsonschema:"description=exact binomial lower bound of the probability that an operation is reported"`
	Confidence float64  `json:"confidence"`
}

// Site is the premises and who answers for the system.
type Site struct {
	Reference string `json:"reference"`
	Premises  string `json:"premises"`
	Address   string `json:"address,omitempty"`
	Installer string `json:"installer"`
	Insurer   string `json:"insurer,omitempty"`
	Declared  string `json:"declared_standard,omitempty" jsonschema:"description=as the installer declares it; never judged"`
	Grade     string `json:"declared_grade,omitempty"`
	Zones     int    `json:"zones"`
	Detectors int    `json:"detectors"`
}

// Detector is what was shown of one detector.
type Detector struct {
	Point        string   `json:"point" jsonschema:"description=zone and number in it: 3.1"`
	Name         string   `json:"name"`
	Zone         int      `json:"zone"`
	ZoneName     string   `json:"zone_name"`
	Kind         string   `json:"kind"`
	Verdict      string   `json:"verdict" jsonschema:"enum=proved,enum=undecided,enum=late,enum=silent,enum=crossed,enum=inverted,enum=unsteady,enum=not tested"`
	ResponseS    *float64 `json:"response_s,omitempty" jsonschema:"description=from the cue to the signal, in the last trial; contains the technician's own delay"`
	RestoredS    *float64 `json:"restored_s,omitempty"`
	UncertaintyS *float64 `json:"uncertainty_s,omitempty" jsonschema:"description=expanded, k = 2"`
	Trials       int      `json:"trials"`
	Remarks      []string `json:"remarks,omitempty"`
}

// Reading is a supply voltage.
type Reading struct {
	Text        string   `json:"text"`
	At          string   `json:"at,omitempty" jsonschema:"format=date-time"`
	ValueV      *float64 `json:"value_v,omitempty"`
	Uncertainty *float64 `json:"uncertainty_v,omitempty" jsonschema:"description=expanded, k = 2; absent if not stated"`
	LowerV      float64  `json:"lower_v"`
	UpperV      *float64 `json:"upper_v,omitempty"`
	Verdict     string   `json:"verdict" jsonschema:"enum=pass,enum=undecided,enum=fail,enum=not tested"`
	Remark      string   `json:"remark,omitempty"`
}

// Restart is the restart from nothing.
type Restart struct {
	Verdict string   `json:"verdict" jsonschema:"enum=proved,enum=undecided,enum=late,enum=silent,enum=not tested"`
	TookS   *float64 `json:"took_s,omitempty" jsonschema:"description=until the controller reported"`
	LimitS  float64  `json:"limit_s"`
}

// Output is what was shown of an output, or of a chime with one zone.
type Output struct {
	Name    string   `json:"name"`
	Kind    string   `json:"kind"`
	Zone    int      `json:"zone,omitempty" jsonschema:"description=that a chime was tried with"`
	Verdict string   `json:"verdict" jsonschema:"enum=works,enum=fails,enum=not tested"`
	HeardS  *float64 `json:"heard_s,omitempty" jsonschema:"description=by hand"`
	Remarks []string `json:"remarks,omitempty"`
}

// CheckItem is an item of the checklist.
type CheckItem struct {
	Stage  string `json:"stage"`
	Text   string `json:"text"`
	Result string `json:"result" jsonschema:"enum=done,enum=not applicable,enum=defect,enum=not tested,enum=open"`
	Remark string `json:"remark,omitempty"`
}

// Computation is one computation with its inputs.
type Computation struct {
	Code    string `json:"code"`
	About   string `json:"about"`
	Inputs  string `json:"inputs,omitempty"`
	Formula string `json:"formula,omitempty"`
	Result  string `json:"result,omitempty"`
	Limit   string `json:"limit,omitempty"`
	Verdict string `json:"verdict,omitempty" jsonschema:"enum=,enum=pass,enum=undecided,enum=fail"`
	Missing string `json:"missing,omitempty" jsonschema:"description=why it could not be computed"`
}

// Finding is a defect or a limitation.
type Finding struct {
	ID    string `json:"id"`
	Code  string `json:"code" jsonschema:"description=what is the matter in no language"`
	About string `json:"about"`
	Text  string `json:"text"`
}

// Name is a person's name under the visit.
type Name struct {
	Role     string   `json:"role" jsonschema:"enum=technician,enum=customer"`
	Name     string   `json:"name,omitempty"`
	Position string   `json:"position,omitempty" jsonschema:"description=or what they said, or why nobody signed"`
	Licence  string   `json:"licence,omitempty"`
	At       string   `json:"at" jsonschema:"format=date-time"`
	Refused  bool     `json:"refused,omitempty"`
	Accepted []string `json:"accepted,omitempty" jsonschema:"description=findings and limitations shown and accepted"`
	Drawn    bool     `json:"drawn,omitempty" jsonschema:"description=there is a drawn signature"`
}

// Photograph is attached to the certificate under its name.
type Photograph struct {
	Name    string `json:"name"`
	About   string `json:"about"`
	Caption string `json:"caption,omitempty"`
	Taken   string `json:"taken,omitempty" jsonschema:"description=by the camera's clock"`
	SHA256  string `json:"sha256"`
}

// Schema is the JSON Schema of Record.
func Schema() ([]byte, error) {
	r := jsonschema.Reflector{DoNotReference: true, AllowAdditionalProperties: true}
	s := r.Reflect(&Data{})
	s.ID = ""
	s.Title = "Record of a walk-test visit, schema 1"
	return json.MarshalIndent(s, "", "  ")
}
