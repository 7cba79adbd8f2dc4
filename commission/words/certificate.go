package words

// What stands on a certificate without arguments. Phrases with arguments are in
// certificate_visit.go, certificate_results.go and certificate_seal.go.

// Heading is the title of a certificate or of one of its sections.
type Heading string

// The headings.
const (
	CertificateHeading Heading = "certificate"
	PremisesHeading    Heading = "premises"
	VisitHeading       Heading = "visit"
	OutstandingHeading Heading = "outstanding"
	ScheduleHeading    Heading = "schedule"
	NoScheduleHeading  Heading = "no-schedule" // no detector was part of the visit
	ResponseHeading    Heading = "response"
	SupplyHeading      Heading = "supply"
	OutputsHeading     Heading = "outputs"
	ComputedHeading    Heading = "computed"
	ChecklistHeading   Heading = "checklist"
	PhotographsHeading Heading = "photographs"
	CautionsHeading    Heading = "cautions"
	SystemHeading      Heading = "system"
	CorrectedHeading   Heading = "corrected"
	LimitsHeading      Heading = "limits"
	NumbersHeading     Heading = "numbers"
	NamesHeading       Heading = "names"
	CheckHeading       Heading = "check"
	SettledHeading     Heading = "settled" // of what earlier visits left
	EarlierHeading     Heading = "earlier" // visits
	ChangesHeading     Heading = "changes" // of the site file since
)

// Code names the heading.
func (h Heading) Code() string { return "heading/" + string(h) }

// Warning stands on every page.
type Warning string

// The warnings.
const (
	SimulatedWarning Warning = "simulated"
	ThrowAwayWarning Warning = "throw-away"
	UnsignedWarning  Warning = "unsigned"
)

// Code names the warning.
func (w Warning) Code() string { return "warning/" + string(w) }

// Label is what a value is labelled with.
type Label string

// The labels.
const (
	PremisesLabel   Label = "premises"
	CustomerLabel   Label = "customer"
	UseLabel        Label = "use"
	InstallerLabel  Label = "installer"
	DeclaredLabel   Label = "declared"
	DeparturesLabel Label = "departures"
	ControllerLabel Label = "controller"
	MonitoringLabel Label = "monitoring"
	AdapterLabel    Label = "adapter"
	BatteryLabel    Label = "battery"
	StandbyLabel    Label = "standby"
	ChargerLabel    Label = "charger"
	RechargeLabel   Label = "recharge"
	LoadsLabel      Label = "loads"
	TechnicianLabel Label = "technician"
	InsurerLabel    Label = "insurer"
	VisitKindLabel  Label = "visit-kind"
	BegunLabel      Label = "begun"
	ExtentLabel     Label = "extent"
	DevicesLabel    Label = "devices"
	BreaksLabel     Label = "breaks"
	DocumentLabel   Label = "document"
	MadeWithLabel   Label = "made-with"
	VoltmeterLabel  Label = "voltmeter"
	LimitLabel      Label = "limit"
	JournalLabel    Label = "journal"
	SignedByLabel   Label = "signed-by"
	KeyLabel        Label = "key"
	AttachedLabel   Label = "attached"
)

// Code names the label.
func (l Label) Code() string { return "label/" + string(l) }

// Column is the head of a column.
type Column string

// The columns.
const (
	PointColumn       Column = "point"
	DetectorColumn    Column = "detector"
	ZoneColumn        Column = "zone"
	ResponseColumn    Column = "response"
	RestoredColumn    Column = "restored"
	UncertaintyColumn Column = "uncertainty"
	TrialsColumn      Column = "trials"
	VerdictColumn     Column = "verdict"
	ReadingColumn     Column = "reading"
	TakenColumn       Column = "taken"
	ValueColumn       Column = "value"
	LimitColumn       Column = "limit"
	ResultColumn      Column = "result"
	OutputColumn      Column = "output"
	KindColumn        Column = "kind"
	TrialColumn       Column = "trial"
	MeasuredColumn    Column = "measured"
	ComputedColumn    Column = "computed"
	LoopColumn        Column = "loop"
	NormalColumn      Column = "normal"
	ActiveColumn      Column = "active"
	ShortedColumn     Column = "shorted"
	CutColumn         Column = "cut"
	AlikeColumn       Column = "alike"
	StageColumn       Column = "stage"
	ItemColumn        Column = "item"
	SilentColumn      Column = "silent"
	ByColumn          Column = "by"
	OperatedColumn    Column = "operated"
	ReportedColumn    Column = "reported"
	BoundColumn       Column = "bound"
	ZonesColumn       Column = "zones"
	CueColumn         Column = "cue"
	InstantColumn     Column = "instant"
	OffsetColumn      Column = "offset"
	HalfColumn        Column = "half"
)

// Code names the column.
func (c Column) Code() string { return "column/" + string(c) }

// Status is what a cell or a signature's box says instead of a value.
type Status string

// The states.
const (
	NotStatedStatus    Status = "not-stated" // in a narrow column; NotStatedNote explains it
	NotSignedStatus    Status = "not-signed"
	NobodySignedStatus Status = "nobody-signed"
	RefusedStatus      Status = "refused"
	NotTimedStatus     Status = "not-timed"
)

// Code names the state.
func (s Status) Code() string { return "status/" + string(s) }

// Note is a sentence, or several, that explain.
type Note string

// The notes.
const (
	DeclaredNote      Note = "declared"
	NoneNote          Note = "none"
	MarksNote         Note = "marks"
	NoDetectorNote    Note = "no-detector"
	OnStandbyNote     Note = "on-standby"
	SupplyRuleNote    Note = "supply-rule"
	NotStatedNote     Note = "not-stated"
	SampledNote       Note = "sampled" // of one reading
	PathOffMainsNote  Note = "path-off-mains"
	PathOnMainsNote   Note = "path-on-mains"
	NoPathNote        Note = "no-path"
	BankNote          Note = "bank"
	OutputsNote       Note = "outputs"
	ComputedNote      Note = "computed"
	LoopsNote         Note = "loops"
	GuardNote         Note = "guard"
	ChecklistNote     Note = "checklist"
	PhotographsNote   Note = "photographs"
	TechnicianNote    Note = "technician"
	CustomerNote      Note = "customer"
	PictureNote       Note = "picture" // of a signature
	GlassNote         Note = "glass"   // of another
	TouchesNote       Note = "touches"
	ThrowAwayNote     Note = "throw-away"
	NobodySealedNote  Note = "nobody-sealed"
	ReaderNote        Note = "reader"
	FollowNote        Note = "follow"
	KeyNote           Note = "key"
	PaperNote         Note = "paper"
	PaperUnsignedNote Note = "paper-unsigned"
	TruthNote         Note = "truth"
	UnshownNote       Note = "unshown" // a script that the fonts lack
	FrontShowsNote    Note = "front-shows"
)

// Code names the note.
func (n Note) Code() string { return "note/" + string(n) }
