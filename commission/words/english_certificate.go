package words

// ofCertificate says what stands on a certificate.
func (l English) ofCertificate(p Phrase) (string, bool) {
	for _, of := range []func(Phrase) string{englishFixed, l.ofFindings, l.ofThisVisit, l.ofResults, l.ofTrials,
		l.ofSeal} {
		if text := of(p); text != "" {
			return text, true
		}
	}
	d, is := p.(Detail)
	return "", is && d.Text == ""
}

// englishFixed are the phrases without arguments.
func englishFixed(p Phrase) string {
	switch p := p.(type) {
	case Heading:
		return englishHeadings[p]
	case Warning:
		return englishWarnings[p]
	case Label:
		return englishLabels[p]
	case Column:
		return englishColumns[p]
	case Status:
		return englishStatus[p]
	case Note:
		return englishNotes[p]
	}
	return ""
}

var englishHeadings = map[Heading]string{
	CertificateHeading: "Walk-test certificate",
	PremisesHeading:    "Premises",
	VisitHeading:       "This visit",
	OutstandingHeading: "Findings and limitations",
	SettledHeading:     "What earlier visits left outstanding",
	EarlierHeading:     "Records of earlier visits",
	ChangesHeading:     "What changed at the premises",
	ScheduleHeading:    "Zone schedule, detector by detector",
	NoScheduleHeading:  "Zone schedule",
	ResponseHeading:    "Response of the system",
	SupplyHeading:      "Supply",
	OutputsHeading:     "Outputs",
	ComputedHeading:    "Computed",
	ChecklistHeading:   "Checklist",
	LooksHeading:       "Looked at, detector by detector",
	PhotographsHeading: "Photographs",
	SystemHeading:      "System, as declared",
	CorrectedHeading:   "Corrected or changed during the visit",
	LimitsHeading:      "Limits of the walk-test",
	NumbersHeading:     "Annex: reading the numbers",
	CautionsHeading:    "Cautions, and who decides",
	NamesHeading:       "Names",
	CheckHeading:       "How to check this certificate",
}

var englishWarnings = map[Warning]string{
	SimulatedWarning: "SIMULATED: practice, no evidence of any installation",
	ThrowAwayWarning: "sealed with a throw-away key",
	UnsignedWarning:  "unsigned",
}

var englishLabels = map[Label]string{
	PremisesLabel:   "Premises",
	CustomerLabel:   "Customer",
	UseLabel:        "Use, part covered",
	InstallerLabel:  "Installer",
	DeclaredLabel:   "Declared",
	DeparturesLabel: "Declared departures",
	ControllerLabel: "Controller",
	MonitoringLabel: "Monitoring",
	AdapterLabel:    "Adapter",
	BatteryLabel:    "Standby battery",
	StandbyLabel:    "Standby required",
	ChargerLabel:    "Charger",
	RechargeLabel:   "Recharge required",
	LoadsLabel:      "Further loads",
	TechnicianLabel: "Technician",
	InsurerLabel:    "Insurer",
	VisitKindLabel:  "Kind of visit",
	BegunLabel:      "Begun, last entry",
	ExtentLabel:     "Extent",
	DevicesLabel:    "Answered on",
	BreaksLabel:     "Breaks",
	DocumentLabel:   "Document",
	MadeWithLabel:   "Made with",
	VoltmeterLabel:  "Voltmeter",
	LimitLabel:      "limit",
	JournalLabel:    "Journal",
	SignedByLabel:   "Signed by",
	KeyLabel:        "Key",
	AttachedLabel:   "Attached",
}

var englishColumns = map[Column]string{
	PointColumn:       "Point",
	DetectorColumn:    "Detector",
	ZoneColumn:        "Zone",
	ResponseColumn:    "Response",
	RestoredColumn:    "Restored",
	UncertaintyColumn: "±",
	TrialsColumn:      "Trials",
	VerdictColumn:     "Verdict",
	ReadingColumn:     "Reading",
	TakenColumn:       "Taken",
	ValueColumn:       "Value",
	LimitColumn:       "Limit",
	ResultColumn:      "Result",
	OutputColumn:      "Output",
	KindColumn:        "Kind",
	TrialColumn:       "Trial",
	MeasuredColumn:    "Measured",
	ComputedColumn:    "Computed",
	LoopColumn:        "Expected at the terminals, not measured",
	NormalColumn:      "Normal",
	ActiveColumn:      "One active",
	ShortedColumn:     "Shorted",
	CutColumn:         "Cut",
	AlikeColumn:       "Not told apart by a reading",
	StageColumn:       "Stage",
	ItemColumn:        "Looked at or handed over",
	SilentColumn:      "Silent after",
	ByColumn:          "Who says so",
	OperatedColumn:    "Operated",
	ReportedColumn:    "Reported",
	BoundColumn:       "At least",
	ZonesColumn:       "Zones",
	CueColumn:         "Cue by",
	InstantColumn:     "Instant",
	OffsetColumn:      "This clock ahead of the phone's by",
	HalfColumn:        "Half of the bounds",
	FaultColumn:       "What the controller tells",
	ClearedColumn:     "Cleared",
}

var englishStatus = map[Status]string{
	NotStatedStatus:    "not stated",
	NotSignedStatus:    "not signed",
	NobodySignedStatus: "nobody signed",
	NotTimedStatus:     "not timed",
	RefusedStatus:      "was shown the list, does not accept it",
}
