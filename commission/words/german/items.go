package german

import "loopwitness/commission/programme"

// germanItems are the lines of our own checklists.
var germanItems = map[programme.ItemCode]string{
	"people-told": "Alle am Objekt wissen, dass Alarme ertönen werden und wie lange",
	"mains":       "Netzleitungen hat niemand geöffnet oder berührt, der dafür keine Zulassung hat",
	"old-battery": "Der alte Akku ist ausgebaut, seine Pole sind isoliert, und er kam zu einer Stelle, die ihn " +
		"annimmt",
	"battery-fitted":  "Der neue Akku ist befestigt, abgesichert, belüftet und mit dem Einbaudatum versehen",
	"polarity":        "An den Klemmen jedes versorgten Melders wurde vor dem Anschließen die Polarität gemessen",
	"cables-labelled": "Beide Enden jedes Kabels tragen das Etikett ihrer Linie",
	"insulation": "Kein Kabel hat beschädigte Isolation, eine lose Verbindung oder eine Litze außerhalb " +
		"der Klemme",
	"fixing":         "Kontakte, Magnete und Melder sind fest montiert und ausgerichtet; Deckel sind geschlossen",
	"sounder-fixing": "Die Sirene ist außer Reichweite, fest, innen trocken, und niemand kommt ihr mit dem Ohr nahe",
	"pack-charges":   "Nach Rückkehr des Netzes zeigt der Akkupack, dass er wieder lädt",
	"access": "Leitern und Standflächen für alles, was erreicht werden muss, sind sicher und für den " +
		"Ort geeignet",
	"user-shown":   "Der Nutzer hat scharf und unscharf geschaltet, und ihm wurde jede Anzeige erklärt",
	"codes":        "Codes der Inbetriebnahme sind gelöscht; der Nutzer hat unbeobachtet neue gewählt",
	"documents":    "Linienplan, Anleitungen und Betriebsbuch blieben am Objekt",
	"false-alarms": "Der Nutzer weiß, wie er einen Falschalarm abbricht und wen er anruft",
	"normal": "Jede Linie ist in Ruhe, nichts ist gesperrt oder ausgeschaltet, die Anlage ist im " +
		"Normalzustand",
	"changes":       "Gebäude, Nutzung und Inhalt sind wie bei der Planung, oder die Abweichungen wurden vermerkt",
	"battery-state": "Der Akku ist nicht aufgebläht, undicht oder heiß; Pole sauber, Datum lesbar",
	"battery-replaced": "Bei einem ersetzten Akku wurden die Pole isoliert, und er kam zu einer Stelle, die ihn " +
		"annimmt",
	"polarity-again":   "Bei jedem wieder angeschlossenen versorgten Melder wurde zuvor die Polarität gemessen",
	"labels-still":     "Beide Enden jedes Kabels tragen noch das Etikett ihrer Linie",
	"insulation-still": "Kein Kabel hat beschädigte Isolation, eine lose Verbindung, Korrosion oder Fraßspuren",
	"fixing-still": "Kontakte, Magnete und Melder sind fest, ausgerichtet und sauber; nichts steht in ihrem " +
		"Blickfeld",
	"user-asked":  "Der Nutzer wurde nach Störungen gefragt und kann noch scharf und unscharf schalten",
	"faults-told": "Gefundene Mängel wurden dem Nutzer gezeigt, mit dem, was jeweils geschieht",
	"log-book":    "Der Termin wurde in das Betriebsbuch am Objekt eingetragen",
	"earlier-centre": "Die bisherige Alarmempfangsstelle weiß Bescheid; ihre Aufschaltung ist beendet oder " +
		"übernommen",
	"parts-age": "Das Alter von Zentrale, Meldern und Sirenen ist bekannt; was über seine Lebensdauer ist, " +
		"wurde dem Nutzer genannt",
	"reused-cable":    "Weiterverwendete Kabel der älteren Anlage wurden auf ganzer zugänglicher Länge angesehen",
	"papers-had":      "Pläne, Anleitungen und Betriebsbuch des früheren Errichters wurden übergeben",
	"installer-codes": "Errichtercodes sind bekannt oder zurückgesetzt; niemand sonst hat noch Fernzugang",
	"keys-had":        "Schlüssel von Zentrale und Gehäusen wurden übergeben",
	"log-saved": "Der Ereignisspeicher wurde gelesen und gesichert, bevor etwas bedient oder " +
		"zurückgestellt wurde",
	"damage":          "Melder, Sirenen, Kabel und Türen wurden auf Schäden und Sabotagespuren angesehen",
	"battery-drained": "Der Akku wurde nach dem, was er beim Alarm abgab, angesehen und gemessen",
	"sounder-quiet":   "Die Sirene ist verstummt, ist trocken, fest und wieder bereit",
	"cause-told": "Dem Nutzer wurde gesagt, was gefunden wurde, was nicht, und was bei Wiederholung zu " +
		"tun ist",
	"bypassed-none": "Was wegen des Alarms ausgeschaltet oder überbrückt war, ist wieder in Betrieb oder wurde " +
		"genannt",
	"repaired":     "Was seit dem letzten Termin repariert oder ersetzt wurde, ist bekannt und wurde angesehen",
	"repairs-told": "Was repariert wurde und was noch offen ist, wurde dem Nutzer gezeigt",
}
