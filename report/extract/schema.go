package extract

import (
	"encoding/json"
	"reflect"

	"github.com/invopop/jsonschema"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// Version is that of the schema.
const Version = 1

// Data is a visit as data.
type Data struct {
	Schema       int              `json:"schema" jsonschema:"description=version of this schema"`
	JudgedWith   string           `json:"judged_with"`
	RecordSHA256 string           `json:"record_sha256" jsonschema:"description=of the journal; printed on every page"`
	Check        *Check           `json:"check" jsonschema:"nullable"`
	Certificate  *CertificateFile `json:"certificate" jsonschema:"nullable,description=null: taken from a job's folder"`
	Visit        Visit            `json:"visit"`
	Site         Site             `json:"site"`
	Detectors    []Detector       `json:"detectors" jsonschema:"description=every detector of the walk-test"`
	OnStandby    []Detector       `json:"on_standby" jsonschema:"description=operated again while mains was removed"`
	Readings     []Reading        `json:"readings" jsonschema:"description=supply voltages"`
	Faults       []Fault          `json:"supply_faults" jsonschema:"description=whether the controller reports faults of its supply"`
	Restart      *Restart         `json:"restart,omitempty"`
	Outputs      []Output         `json:"outputs"`
	Alarm        []AlarmStep      `json:"alarm" jsonschema:"description=one alarm from end to end"`
	Checklist    []CheckItem      `json:"checklist"`
	Cables       []Cable          `json:"cables" jsonschema:"description=of an older system\\, measured before anything was connected"`
	Computed     []Computation    `json:"computed"`
	Findings     []Finding        `json:"findings" jsonschema:"description=to be put right and tested again"`
	Limitations  []Finding        `json:"limitations" jsonschema:"description=of what the certificate shows"`
	Notes        []Finding        `json:"notes" jsonschema:"description=standing ones\\, which limit nothing"`
	Names        []Name           `json:"names" jsonschema:"description=who signed for what"`
	Photographs  []Photograph     `json:"photographs"`
	SiteChanges  []SiteChange     `json:"site_changes"`
	Corrections  []Correction     `json:"corrections"`
	TakenBack    []TakenBack      `json:"photographs_taken_back"`
	Undertakings []Undertaking    `json:"undertakings" jsonschema:"description=what is to be done\\, by when and by whom"`
	Judged       judge.Judged     `json:"judged"`

	EarlierVisits []EarlierVisit `json:"earlier_visits" jsonschema:"description=whose records were taken in"`
	Outstanding   []Outstanding  `json:"outstanding" jsonschema:"description=what they left\\, and what came of it"`
	Since         *SinceThen     `json:"changed_since,omitempty"`
	Sampling      *Sampling      `json:"sampling,omitempty"`
}

// Check is what came of checking the file.
type Check struct {
	Outcome        string   `json:"outcome" jsonschema:"enum=intact,enum=fails,enum=unchecked"`
	Problems       []string `json:"problems" jsonschema:"description=in words"`
	SignedBy       string   `json:"signed_by,omitempty"`
	KeyFingerprint string   `json:"key_fingerprint,omitempty"`
	Trusted        bool     `json:"trusted" jsonschema:"description=the signer is among those that were named as trusted"`
	SignedAt       string   `json:"signed_at,omitempty" jsonschema:"format=date-time"`
	TimeConfirmed  bool     `json:"time_confirmed"`
}

// CertificateFile is the file that the record was taken from.
type CertificateFile struct {
	Number string `json:"number" jsonschema:"description=with its revision"`
	Tool   string `json:"tool" jsonschema:"description=name and version that wrote it"`
}

// Visit is one attendance.
type Visit struct {
	Document      string     `json:"document" jsonschema:"description=number of its certificates without the revision"`
	Kind          string     `json:"kind" jsonschema:"enum=handover,enum=maintenance,enum=retest,enum=take-over,enum=after-alarm"`
	Language      string     `json:"language" jsonschema:"description=in which it was guided\\, a BCP 47 tag"`
	Begun         string     `json:"begun" jsonschema:"format=date-time"`
	LastEntry     string     `json:"last_entry" jsonschema:"format=date-time"`
	OpenSteps     int        `json:"open_steps" jsonschema:"description=not taken yet; until it is 0 the result is not final"`
	Follows       string     `json:"follows,omitempty" jsonschema:"description=the visit that a retest follows"`
	Discarded     *Discarded `json:"discarded,omitempty" jsonschema:"description=it was set aside: nothing of it counts"`
	Interval      string     `json:"maintenance_interval,omitempty" jsonschema:"description=as agreed\\, as typed; none where it is declared that nothing was"`
	NextDue       string     `json:"next_due,omitempty" jsonschema:"format=date"`
	Simulated     bool       `json:"simulated" jsonschema:"description=practice: no evidence of any installation"`
	TimeSimulated bool       `json:"time_simulated,omitempty" jsonschema:"description=time itself was simulated\\, too"`
	Ways          []Way      `json:"ways,omitempty" jsonschema:"description=where signals were received in several ways at once"`
	Result        string     `json:"result"`
	Timing        Timing     `json:"timing"`
	Cues          Cues       `json:"cues"`
	Devices       []string   `json:"devices"`
	Operations    Operations `json:"operations"`
	Proof         []Proof    `json:"proof" jsonschema:"description=of detectors that were operated more than once"`
	LimitSecond   float64    `json:"response_limit_second"`
}

// Way is one of several ways in which signals were received at once.
type Way struct {
	Way               string  `json:"way" jsonschema:"enum=mqtt,enum=webhook,enum=poll"`
	UncertaintySecond float64 `json:"uncertainty_second" jsonschema:"description=of a response\\, expanded\\, k = 2"`
	Zones             []int   `json:"zones" jsonschema:"description=that it can report; a zone of two ways belongs to that which reported it first"`
}

// JSONSchemaExtend adds the results, which are too long for a tag.
func (Visit) JSONSchemaExtend(s *jsonschema.Schema) {
	s.Properties.Value("result").Enum = []any{
		"not finished", "satisfactory", "satisfactory with limitations", "unsatisfactory"}
}

// Timing sums the response times up.
type Timing struct {
	N            int      `json:"n"`
	MedianSecond *float64 `json:"median_second,omitempty"`
	P95Second    *float64 `json:"p95_second,omitempty" jsonschema:"description=95 % respond within\\, by p(N+1); absent below 20 values"`
	MaxSecond    *float64 `json:"max_second,omitempty"`
}

// Cues counts how cues were given, and how well a phone's clock was known.
type Cues struct {
	Told          int      `json:"told" jsonschema:"description=by the program"`
	Touched       int      `json:"touched" jsonschema:"description=by a touch of the phone"`
	Counted       int      `json:"counted" jsonschema:"description=by the phone's count"`
	NotTimed      int      `json:"not_timed"`
	WidestSecond  *float64 `json:"clock_at_worst_second,omitempty"`
	TypicalSecond *float64 `json:"clock_typically_second,omitempty"`
	SameClock     bool     `json:"signals_by_the_same_clock,omitempty" jsonschema:"description=signals were keys of the same phone"`
}

// Tap is a touch or the end of a count that a response was timed from.
type Tap struct {
	By          string  `json:"by" jsonschema:"enum=touch,enum=count"`
	At          string  `json:"at" jsonschema:"format=date-time"`
	Device      float64 `json:"device_second" jsonschema:"description=by the phone's clock"`
	OffsetLeast float64 `json:"offset_least_second"`
	OffsetMost  float64 `json:"offset_most_second" jsonschema:"description=and by at most"`
}

// Operations counts what was operated.
type Operations struct {
	Operated int `json:"operated"`
	Reported int `json:"reported"`
	Repeated int `json:"repeated" jsonschema:"description=beyond the first of each detector"`
	Mended   int `json:"mended" jsonschema:"description=of those not reported: before a repair that was proved"`
	Struck   int `json:"struck" jsonschema:"description=trials that count no more; not among the others"`
}

// Proof is what the operations of one detector prove.
type Proof struct {
	Point      string  `json:"point"`
	Operations int     `json:"operations"`
	Reported   int     `json:"reported"`
	LowerBound float64 `json:"lower_bound"`
	Confidence float64 `json:"confidence"`
}

// Site is the premises and who answers for the system.
type Site struct {
	Reference string `json:"reference"`
	Premises  string `json:"premises"`
	Address   string `json:"address,omitempty"`
	Installer string `json:"installer"`
	Insurer   string `json:"insurer,omitempty"`
	Declared  string `json:"declared_standard,omitempty" jsonschema:"description=declared by the installer; never judged"`
	Grade     string `json:"declared_grade,omitempty"`
	Zones     int    `json:"zones"`
	Detectors int    `json:"detectors"`
}

// Detector is what was shown of one detector.
type Detector struct {
	Point             string   `json:"point" jsonschema:"description=zone and number in it: 3.1"`
	Name              string   `json:"name"`
	Location          string   `json:"location,omitempty"`
	Area              string   `json:"area,omitempty"`
	Zone              int      `json:"zone"`
	ZoneName          string   `json:"zone_name"`
	Kind              string   `json:"kind"`
	Verdict           string   `json:"verdict"`
	NotTimed          string   `json:"not_timed,omitempty"`
	RestoredNotTimed  string   `json:"restored_not_timed,omitempty"`
	Tap               *Tap     `json:"tap,omitempty" jsonschema:"description=that the response was timed from"`
	OwnOrder          bool     `json:"own_order,omitempty"`
	ResponseSecond    *float64 `json:"response_second,omitempty"`
	RestoredSecond    *float64 `json:"restored_second,omitempty"`
	UncertaintySecond *float64 `json:"uncertainty_second,omitempty" jsonschema:"description=expanded\\, k = 2"`
	LimitSecond       float64  `json:"limit_second" jsonschema:"description=of the response\\, for its kind"`
	Trials            int      `json:"trials"`
	Struck            []Struck `json:"struck,omitempty" jsonschema:"description=trials that count no more"`
	Remarks           []string `json:"remarks,omitempty"`
}

// Struck is a trial that counts no more, and why.
type Struck struct {
	Trial   int    `json:"trial"`
	Verdict string `json:"verdict" jsonschema:"description=what it had shown"`
	Reason  string `json:"reason"`
}

// JSONSchemaExtend adds the verdicts, which are too many for a tag.
func (Detector) JSONSchemaExtend(s *jsonschema.Schema) {
	s.Properties.Value("verdict").Enum = []any{
		"proved", "reported", "undecided", "late", "silent", "crossed", "inverted", "unsteady", "not tested"}
	for _, key := range []string{"not_timed", "restored_not_timed"} {
		for _, why := range record.WhyUntimed() {
			of := s.Properties.Value(key)
			of.Enum = append(of.Enum, string(why))
		}
	}
}

// Reading is a supply voltage.
type Reading struct {
	Text        string   `json:"text"`
	At          string   `json:"at,omitempty" jsonschema:"format=date-time"`
	ValueVolt   *float64 `json:"value_volt,omitempty"`
	Uncertainty *float64 `json:"uncertainty_volt,omitempty" jsonschema:"description=expanded\\, k = 2; absent: not stated"`
	LowerVolt   float64  `json:"lower_volt"`
	UpperVolt   *float64 `json:"upper_volt,omitempty"`
	Verdict     string   `json:"verdict" jsonschema:"enum=pass,enum=undecided,enum=fail,enum=none,enum=not tested,description=none: judged together with other readings\\, see computed"`
	Remark      string   `json:"remark,omitempty"`
}

// Restart is the restart from nothing.
type Restart struct {
	Verdict     string   `json:"verdict" jsonschema:"enum=proved,enum=undecided,enum=late,enum=silent,enum=not tested"`
	TookSecond  *float64 `json:"took_second,omitempty" jsonschema:"description=until the controller reported"`
	LimitSecond float64  `json:"limit_second"`
}

// Output is what was shown of an output, or of a chime with one zone.
type Output struct {
	Name        string   `json:"name"`
	Kind        string   `json:"kind"`
	Zone        int      `json:"zone,omitempty" jsonschema:"description=that a chime was tried with"`
	Verdict     string   `json:"verdict" jsonschema:"enum=works,enum=fails,enum=not tested"`
	HeardSecond *float64 `json:"heard_second,omitempty" jsonschema:"description=by hand"`
	Remarks     []string `json:"remarks,omitempty"`
}

// CheckItem is an item of the checklist.
type CheckItem struct {
	Stage  string `json:"stage"`
	Text   string `json:"text"`
	Result string `json:"result" jsonschema:"enum=done,enum=not applicable,enum=defect,enum=not tested,enum=open"`
	Remark string `json:"remark,omitempty"`
	// Point is the detector that was looked at; Value what was typed beside the line.
	Point    string `json:"point,omitempty"`
	Value    string `json:"value,omitempty"`
	BySignal bool   `json:"by_signal,omitempty"` // a signal answered it, nobody was asked
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
	Danger  bool   `json:"danger,omitempty" jsonschema:"description=act now"`
	// Assumed are keys of the site file.
	Assumed []string `json:"assumed,omitempty" jsonschema:"description=keys of the site file whose usual value counted"`
}

// Finding is a defect or a limitation.
type Finding struct {
	ID   string `json:"id"`
	Code string `json:"code" jsonschema:"description=what is the matter in no language"`
	// Severity is how soon something has to be done, Remedy what.
	Severity string `json:"severity" jsonschema:"enum=danger,enum=fault,enum=advice"`
	About    string `json:"about"`
	Text     string `json:"text"`
	Remedy   string `json:"remedy" jsonschema:"description=what to do about it\\, in words"`
}

// Name is a person's name under the visit.
type Name struct {
	Role     string   `json:"role" jsonschema:"enum=technician,enum=customer"`
	Name     string   `json:"name,omitempty"`
	Position string   `json:"position,omitempty" jsonschema:"description=or what they said\\, or why nobody signed"`
	Licence  string   `json:"licence,omitempty"`
	At       string   `json:"at" jsonschema:"format=date-time"`
	Refused  bool     `json:"refused,omitempty"`
	Called   string   `json:"called,omitempty" jsonschema:"description=as who refused wishes to be named"`
	Accepted []string `json:"accepted,omitempty" jsonschema:"description=findings and limitations shown and accepted"`
	Drawn    bool     `json:"drawn,omitempty" jsonschema:"description=there is a drawn signature"`
	// DrawnAs tells of a picture, or of Strokes.
	DrawnAs string          `json:"drawn_as,omitempty" jsonschema:"enum=picture,enum=strokes"`
	Strokes *record.Strokes `json:"strokes,omitempty"`
}

// Photograph is attached to the certificate under its name.
type Photograph struct {
	Name    string `json:"name"`
	About   string `json:"about"`
	Caption string `json:"caption,omitempty"`
	Taken   string `json:"taken,omitempty" jsonschema:"description=by the camera's clock"`
	Learnt  bool   `json:"learnt,omitempty" jsonschema:"description=taken before the visit\\, while the site was learnt"`
	SHA256  string `json:"sha256"`
	Lost    bool   `json:"lost,omitempty" jsonschema:"description=no longer there as it was added\\, and not attached"`
}

// described are the properties, by type and field, that need more words than a tag holds.
var described = map[string]string{
	"Data.JudgedWith": "name and version of the tool that judged the record and checked the file",
	"Data.Check": "what came of checking the file that this was taken from; believe nothing below unless outcome is " +
		"intact and you know the key. Null: taken from a job's folder; nothing was signed and nothing was checked",
	"Data.Judged": "the judgement in no language, as certificate.json holds it: codes with their arguments; " +
		"also of a visit that is not finished. Its keys are those of the tool's rules of judging",
	"Data.Restart":         "cold restart: adapter and battery disconnected and connected again",
	"Check.SignedBy":       "name that the key's owner gave it; anybody can write any name",
	"Check.KeyFingerprint": "SHA-256 of the signing certificate; this is what tells whose key it is",
	"Check.TimeConfirmed":  "signed_at is of a trusted time stamp; else the signer's own clock says so",
	"Proof.LowerBound":     "exact binomial lower bound of the probability that the detector reports an operation",
	"Visit.Cues": "how it was told when detectors were to be operated, of all trials that were carried to " +
		"their end",
	"Visit.Devices":     "phones that the technician answered with, as they describe themselves",
	"Cues.WidestSecond": "half of the bounds of the phone's clock",
	"Tap.OffsetLeast":   "the program's clock is ahead of the phone's by at least",
	"Detector.NotTimed": "why the response was not measured",
	"Detector.OwnOrder": "nobody told the technician to operate it then",
	"Name.Strokes":      "lines of points of a sheet of width by height, x and y in turn",
	"Detector.Verdict":  "of the last trial; reported: and restored, and how fast was not measured",
	"Detector.ResponseSecond": "from the cue to the signal, in the last trial; contains the technician's own " +
		"delay",
}

// Schema is the JSON Schema of Data.
func Schema() ([]byte, error) {
	r := jsonschema.Reflector{DoNotReference: true, AllowAdditionalProperties: true,
		LookupComment: func(t reflect.Type, field string) string { return described[t.Name()+"."+field] }}
	s := r.Reflect(&Data{})
	s.ID = ""
	s.Title = "Record of a walk-test visit, schema 1"
	return json.MarshalIndent(s, "", "  ")
}
