package german

import "loopwitness/commission/words"

// ofCertificate says what stands on a certificate.
func (l Language) ofCertificate(p words.Phrase) (string, bool) {
	for _, of := range []func(words.Phrase) string{germanFixed, l.ofFindings, l.ofThisVisit, l.ofResults, l.ofTrials,
		l.ofSeal} {
		if text := of(p); text != "" {
			return text, true
		}
	}
	d, is := p.(words.Detail)
	return "", is && d.Text == ""
}

// englishFixed are the phrases without arguments.
func germanFixed(p words.Phrase) string {
	switch p := p.(type) {
	case words.Heading:
		return germanHeadings[p]
	case words.Warning:
		return germanWarnings[p]
	case words.Label:
		return germanLabels[p]
	case words.Column:
		return germanColumns[p]
	case words.Status:
		return germanStatus[p]
	case words.Note:
		return germanNotes[p]
	}
	return ""
}

var germanHeadings = map[words.Heading]string{
	words.CertificateHeading: "Walk-test certificate",
	words.PremisesHeading:    "Premises",
	words.VisitHeading:       "This visit",
	words.OutstandingHeading: "Findings and limitations",
	words.SettledHeading:     "What earlier visits left outstanding",
	words.EarlierHeading:     "Records of earlier visits",
	words.ChangesHeading:     "What changed at the premises",
	words.ScheduleHeading:    "Zone schedule, detector by detector",
	words.NoScheduleHeading:  "Zone schedule",
	words.ResponseHeading:    "Response of the system",
	words.SupplyHeading:      "Supply",
	words.OutputsHeading:     "Outputs",
	words.ComputedHeading:    "Computed",
	words.ChecklistHeading:   "Checklist",
	words.LooksHeading:       "Looked at, detector by detector",
	words.PhotographsHeading: "Photographs",
	words.SystemHeading:      "System, as declared",
	words.CorrectedHeading:   "Corrected or changed during the visit",
	words.LimitsHeading:      "Limits of the walk-test",
	words.NumbersHeading:     "Annex: reading the numbers",
	words.CautionsHeading:    "Cautions, and who decides",
	words.NamesHeading:       "Names",
	words.CheckHeading:       "How to check this certificate",
}

var germanWarnings = map[words.Warning]string{
	words.SimulatedWarning: "SIMULATED: practice, no evidence of any installation",
	words.ThrowAwayWarning: "sealed with a throw-away key",
	words.UnsignedWarning:  "unsigned",
}

var germanLabels = map[words.Label]string{
	words.NotTestedLabel:  "not tested or not measured",
	words.PremisesLabel:   "Premises",
	words.CustomerLabel:   "Customer",
	words.UseLabel:        "Use, part covered",
	words.InstallerLabel:  "Installer",
	words.DeclaredLabel:   "Declared",
	words.DeparturesLabel: "Declared departures",
	words.ControllerLabel: "Controller",
	words.MonitoringLabel: "Monitoring",
	words.AdapterLabel:    "Adapter",
	words.BatteryLabel:    "Standby battery",
	words.StandbyLabel:    "Standby required",
	words.ChargerLabel:    "Charger",
	words.RechargeLabel:   "Recharge required",
	words.LoadsLabel:      "Further loads",
	words.TechnicianLabel: "Technician",
	words.InsurerLabel:    "Insurer",
	words.VisitKindLabel:  "Kind of visit",
	words.BegunLabel:      "Begun, last entry",
	words.ExtentLabel:     "Extent",
	words.DevicesLabel:    "Answered on",
	words.BreaksLabel:     "Breaks",
	words.DocumentLabel:   "Document",
	words.MadeWithLabel:   "Made with",
	words.VoltmeterLabel:  "Voltmeter",
	words.LimitLabel:      "limit",
	words.JournalLabel:    "Journal",
	words.SignedByLabel:   "Signed by",
	words.KeyLabel:        "Key",
	words.AttachedLabel:   "Attached",
}

var germanColumns = map[words.Column]string{
	words.PointColumn:       "Point",
	words.DetectorColumn:    "Detector",
	words.ZoneColumn:        "Zone",
	words.ResponseColumn:    "Response",
	words.RestoredColumn:    "Restored",
	words.UncertaintyColumn: "±",
	words.TrialsColumn:      "Trials",
	words.VerdictColumn:     "Verdict",
	words.ReadingColumn:     "Reading",
	words.TakenColumn:       "Taken",
	words.ValueColumn:       "Value",
	words.LimitColumn:       "Limit",
	words.ResultColumn:      "Result",
	words.OutputColumn:      "Output",
	words.KindColumn:        "Kind",
	words.TrialColumn:       "Trial",
	words.MeasuredColumn:    "Measured",
	words.ComputedColumn:    "Computed",
	words.LoopColumn:        "Expected at the terminals, not measured",
	words.NormalColumn:      "Normal",
	words.ActiveColumn:      "One active",
	words.ShortedColumn:     "Shorted",
	words.CutColumn:         "Cut",
	words.AlikeColumn:       "Not told apart by a reading",
	words.StageColumn:       "Stage",
	words.ItemColumn:        "Looked at or handed over",
	words.SilentColumn:      "Silent after",
	words.ByColumn:          "Who says so",
	words.OperatedColumn:    "Operated",
	words.ReportedColumn:    "Reported",
	words.BoundColumn:       "At least",
	words.ZonesColumn:       "Zones",
	words.CueColumn:         "Cue by",
	words.InstantColumn:     "Instant",
	words.OffsetColumn:      "This clock ahead of the phone's by",
	words.HalfColumn:        "Half of the bounds",
	words.FaultColumn:       "What the controller tells",
	words.ClearedColumn:     "Cleared",
}

var germanStatus = map[words.Status]string{
	words.NotStatedStatus:    "not stated",
	words.NotSignedStatus:    "not signed",
	words.NobodySignedStatus: "nobody signed",
	words.NotTimedStatus:     "not timed",
	words.RefusedStatus:      "was shown the list, does not accept it",
}
