package german

import "loopwitness/commission/words"

var germanNotes = map[words.Note]string{
	words.FaultsNote: "Zeiten laufen ab der Angabe, dass das Netz getrennt oder wieder da ist oder der Akku " +
		"abgeklemmt oder wieder angeklemmt ist; getan wurde es bis zu einige Sekunden vorher.",
	words.DeclaredNote: "Norm, Grad und Klasse stehen so da, wie der Errichter sie angibt; nichts auf dieser Seite " +
		"beurteilt sie.",
	words.UnshownNote: "‹…›: Buchstaben einer Schrift, oder ein Zeichen, die diese Seiten nicht zeigen können. Die " +
		"angehängte Aufzeichnung hat sie, wie sie eingegeben wurden.",
	words.NoneNote:       "Keine.",
	words.FrontShowsNote: "Was die Liste auf Seite eins ganz zeigt, steht hier nicht noch einmal.",
	words.MarksNote: "F: ein Mangel, zu beheben und erneut zu prüfen. L: eine Einschränkung dessen, was diese " +
		"Bescheinigung zeigt. N: eine ständige Anmerkung, die nichts einschränkt. Gefahr: sofort handeln. Offen: " +
		"zu beheben oder zu prüfen. Hinweis: wissenswert oder noch zu zeigen. Das Schwerste steht zuerst.",
	words.NoDetectorNote: "Kein Melder war Teil dieses Termins.",
	words.OnStandbyNote: "Für die Zeit ohne Netz noch einmal zu betätigen, ein Melder jeder versorgten Art (der " +
		"erste Melder, wo keiner versorgt ist):",
	words.SupplyRuleNote: "Spannungen an den Versorgungsklemmen der Zentrale, wie der Techniker sie ablas; zu jeder " +
		"Grenze steht, wer sie nennt.",
	words.NotStatedNote: "o. A. (ohne Angabe): Die Unsicherheit ist nicht bekannt; der Messwert wurde mit seiner " +
		"Grenze verglichen, als wäre er genau.",
	words.PathOffMainsNote: "Auch der Router oder das Gateway auf dem Weg aus dem Objekt war ohne Netz, wie der " +
		"Techniker sagt.",
	words.PathOnMainsNote: "Der Router oder das Gateway auf dem Weg aus dem Objekt blieb am Netz: siehe " +
		"Einschränkungen.",
	words.NoPathNote: "Zwischen der Zentrale und dem, der benachrichtigt wird, liegt kein Router oder Gateway, wie " +
		"der Techniker sagt.",
	words.BankNote: "Wo sich mehrere Melder eine Linie teilen und der Techniker sie in eigener Folge betätigte, " +
		"steht nach seiner Angabe da, welcher es war: Die Zentrale meldet die Linie.",
	words.OutputsNote: "Gehört und gesehen: wie der Techniker antwortete. Pegel und Ströme stehen wie eingegeben; " +
		"was sie zeigen, ist unten berechnet.",
	words.ComputedNote: "Aus der Objektdatei, wie angegeben, und den Messwerten dieses Termins. Angenommen: Die " +
		"Objektdatei sagt nichts, und ein üblicher Wert von uns gilt; was nur damit eingehalten ist, ist " +
		"unentschieden.",
	words.LoopsNote: "Für den, der als Nächster kommt: was ein Ohmmeter bei abgeklemmter Schleife zeigen sollte, " +
		"von den Klemmen der Zentrale aus gesehen; Widerstände ± 5 % und ohne Kabel, wo die Objektdatei sie nicht " +
		"nennt.",
	words.GuardNote: "Wie Grenzen angewandt werden: Ein Wert wird mit seiner erweiterten Unsicherheit (k = 2) als " +
		"Schutzband mit seiner Grenze verglichen (JCGM 106); die einer Spannung ist die des Messgeräts und die der " +
		"letzten abgelesenen Stelle (JCGM 100). Was näher an der Grenze liegt, ist unentschieden.",
	words.LooksNote: germanLooksNote,
	words.ChecklistNote: "Wie der Techniker antwortete; nichts davon wurde gemessen. Entfällt: aus dem angegebenen " +
		"Grund.",
	words.SampledNote: "nach eigener Messung der Zentrale",
	words.PhotographsNote: "Jedes ist dieser Datei in voller Größe beigefügt. Die Zeit der Aufnahme ist die der " +
		"Uhr der Kamera.",
	words.TechnicianNote: "Mit dem Namen sagt der Techniker: Wovon diese Aufzeichnung berichtet, das wurde " +
		"fachgerecht und sorgfältig getan und so gesehen und abgelesen, wie sie es berichtet.",
	words.CustomerNote: "Wie der Techniker es eingab: Dem Vertreter des Kunden wurden die Mängel und " +
		"Einschränkungen gezeigt, und er erkennt die an, deren Nummern neben dem Namen stehen. Diese Anerkennung " +
		"behebt nichts.",
	words.PictureNote: "Eine gezeichnete Unterschrift ist ein Bild, das der Techniker lieferte.",
	words.GlassNote: "Eine Unterschrift in Linien wurde auf dem Glas des Telefons gezeichnet; nichts in dieser " +
		"Datei zeigt, wessen Hand sie zeichnete.",
	words.TouchesNote: "Der Zeitpunkt jeder Berührung und Zählung, in der Ortszeit des Objekts, und die Grenzen, " +
		"zwischen denen die Uhr dieses Programms der des Telefons voraus war:",
	words.ThrowAwayNote: "ein Wegwerfschlüssel: für diese Vorführung erzeugt, nirgends aufbewahrt. Er beweist " +
		"nicht, wer dies erstellt hat.",
	words.NobodySealedNote: "niemand. Nichts zeigt, wer diese Datei erstellt hat oder ob sie seither geändert wurde.",
	words.ReaderNote: "Ein PDF-Programm, das Signaturen anzeigt, sagt, ob die Datei geändert wurde, seit sie " +
		"signiert ist.",
	words.FollowNote: "Das Programm loopwitness prüft alles, ohne Schlüssel und ohne Konto: loopwitness verify " +
		"FILE. Es beurteilt das beigefügte Journal erneut und vergleicht jedes Urteil, jede Zahl und jedes Zeichen " +
		"mit diesen Seiten.",
	words.KeyNote: "„Schlüssel“ ist der SHA-256 des Signaturzertifikats. Vergleichen Sie ihn mit dem, was der " +
		"Errichter Ihnen auf anderem Weg als mit dieser Datei gab, oder nennen Sie ein Zertifikat, dem Sie " +
		"vertrauen: loopwitness verify --trust CERTIFICATE FILE. Jeder kann jeden Namen in einen Schlüssel schreiben.",
	words.PaperNote:         germanPaper + " und den Schlüssel.",
	words.PaperUnsignedNote: germanPaper + ".",
	words.TruthNote: "Keine Prüfung zeigt, dass wahr ist, was aufgezeichnet wurde: Dafür steht, wer es " +
		"aufgezeichnet hat.",
}

const germanPaper = "Auf Papier: Der Anfang von „Journal“ steht am Fuß jeder Seite, das Ganze oben und im Code. Mit " +
	"loopwitness verify --fingerprint DIGITS FILE sehen Sie, ob eine Datei dasselbe Journal enthält; vergleichen Sie " +
	"auch die Revision"
