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

// germanFixed are the phrases without arguments.
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
	words.CertificateHeading: "Prüfbescheinigung zum Gehtest",
	words.PremisesHeading:    "Objekt",
	words.VisitHeading:       "Dieser Termin",
	words.OutstandingHeading: "Mängel und Einschränkungen",
	words.SettledHeading:     "Was frühere Termine offen ließen",
	words.EarlierHeading:     "Aufzeichnungen früherer Termine",
	words.ChangesHeading:     "Was sich am Objekt geändert hat",
	words.ScheduleHeading:    "Meldelinien, Melder für Melder",
	words.NoScheduleHeading:  "Meldelinien",
	words.ResponseHeading:    "Ansprechen der Anlage",
	words.SupplyHeading:      "Versorgung",
	words.OutputsHeading:     "Ausgänge",
	words.ComputedHeading:    "Berechnet",
	words.ChecklistHeading:   "Checkliste",
	words.LooksHeading:       "Angesehen, Melder für Melder",
	words.PhotographsHeading: "Fotos",
	words.SystemHeading:      "Anlage, wie angegeben",
	words.CorrectedHeading:   "Während des Termins berichtigt oder geändert",
	words.LimitsHeading:      "Grenzen des Gehtests",
	words.NumbersHeading:     "Anhang: die Zahlen lesen",
	words.CautionsHeading:    "Vorsicht, und wer entscheidet",
	words.NamesHeading:       "Namen",
	words.CheckHeading:       "So prüfen Sie diese Bescheinigung",
}

var germanWarnings = map[words.Warning]string{
	words.SimulatedWarning: "SIMULIERT: Übung, kein Nachweis für eine Anlage",
	words.ThrowAwayWarning: "mit einem Wegwerfschlüssel signiert",
	words.UnsignedWarning:  "nicht signiert",
}

var germanLabels = map[words.Label]string{
	words.PremisesLabel:   "Objekt",
	words.CustomerLabel:   "Kunde",
	words.UseLabel:        "Nutzung, Bereich",
	words.InstallerLabel:  "Errichter",
	words.DeclaredLabel:   "Angegeben",
	words.DeparturesLabel: "Angeg. Abweichungen",
	words.ControllerLabel: "Zentrale",
	words.MonitoringLabel: "Aufschaltung",
	words.AdapterLabel:    "Netzteil",
	words.BatteryLabel:    "Akku",
	words.StandbyLabel:    "Notbetrieb, Soll",
	words.ChargerLabel:    "Ladegerät",
	words.RechargeLabel:   "Aufladung, Soll",
	words.LoadsLabel:      "Weitere Lasten",
	words.TechnicianLabel: "Techniker",
	words.InsurerLabel:    "Versicherer",
	words.VisitKindLabel:  "Art des Termins",
	words.BegunLabel:      "Beginn, letzter Eintrag",
	words.ExtentLabel:     "Umfang",
	words.DevicesLabel:    "Beantwortet an",
	words.BreaksLabel:     "Unterbrechungen",
	words.DocumentLabel:   "Dokument",
	words.MadeWithLabel:   "Erstellt mit",
	words.VoltmeterLabel:  "Voltmeter",
	words.LimitLabel:      "Grenze",
	words.JournalLabel:    "Journal",
	words.SignedByLabel:   "Signiert von",
	words.KeyLabel:        "Schlüssel",
	words.AttachedLabel:   "Beigefügt",
}

var germanColumns = map[words.Column]string{
	words.PointColumn:       "Punkt",
	words.DetectorColumn:    "Melder",
	words.ZoneColumn:        "Linie",
	words.ResponseColumn:    "Anspr.",
	words.RestoredColumn:    "Ruhe",
	words.UncertaintyColumn: "±",
	words.TrialsColumn:      "Vers.",
	words.VerdictColumn:     "Urteil",
	words.ReadingColumn:     "Messung",
	words.TakenColumn:       "Wann",
	words.ValueColumn:       "Wert",
	words.LimitColumn:       "Grenze",
	words.ResultColumn:      "Ergebnis",
	words.OutputColumn:      "Ausgang",
	words.KindColumn:        "Art",
	words.TrialColumn:       "Versuch",
	words.MeasuredColumn:    "Gemessen",
	words.ResistanceColumn:  "R",
	words.ComputedColumn:    "Berechnet",
	words.LoopColumn:        "Erwartet an den Klemmen, nicht gemessen",
	words.NormalColumn:      "Ruhe",
	words.ActiveColumn:      "Einer aktiv",
	words.ShortedColumn:     "Kurzschl.",
	words.CutColumn:         "Bruch",
	words.AlikeColumn:       "Vom Messwert nicht unterschieden",
	words.StageColumn:       "Abschnitt",
	words.ItemColumn:        "Angesehen oder übergeben",
	words.SilentColumn:      "Stumm nach",
	words.ByColumn:          "Wer es sagt",
	words.OperatedColumn:    "Betätigt",
	words.ReportedColumn:    "Gemeldet",
	words.BoundColumn:       "Mindestens",
	words.ZonesColumn:       "Linien",
	words.CueColumn:         "Zeit ab",
	words.InstantColumn:     "Zeitpunkt",
	words.OffsetColumn:      "Diese Uhr vor der des Telefons um",
	words.HalfColumn:        "Hälfte der Spanne",
	words.FaultColumn:       "Was die Zentrale meldet",
	words.ClearedColumn:     "Gelöscht",
}

var germanStatus = map[words.Status]string{
	words.NotStatedStatus:    "o. A.",
	words.NotSignedStatus:    "nicht unterschrieben",
	words.NobodySignedStatus: "niemand unterschrieb",
	words.NotTimedStatus:     "ohne Zeit",
	words.ContinuedStatus:    "Fortsetzung",
	words.RefusedStatus:      "bekam die Liste gezeigt, erkennt sie nicht an",
}
