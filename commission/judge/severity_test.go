package judge

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// declaredCodes are the codes of all types of this package whose method Code returns one text:
// statements as they are, rows as computed.
func declaredCodes(t *testing.T) (codes []string) {
	t.Helper()
	names, err := filepath.Glob("*.go")
	require.NoError(t, err)
	noStatement := []string{"Range", "Subject"}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		for _, d := range file.Decls {
			receiver, code := codeOf(d)
			switch {
			case code == "" || slices.Contains(noStatement, receiver):
			case strings.HasSuffix(receiver, "Row"):
				codes = append(codes, "computed/"+code)
			default:
				codes = append(codes, code)
			}
		}
	}
	return codes
}

// codeOf is the receiver of a method Code that returns a text, and the text.
func codeOf(d ast.Decl) (receiver, code string) {
	f, is := d.(*ast.FuncDecl)
	if !is || f.Name.Name != "Code" || f.Recv == nil || len(f.Body.List) != 1 {
		return "", ""
	}
	back, is := f.Body.List[0].(*ast.ReturnStmt)
	if !is {
		return "", ""
	}
	text, is := back.Results[0].(*ast.BasicLit)
	named, plain := f.Recv.List[0].Type.(*ast.Ident)
	if !is || !plain {
		return "", ""
	}
	code, _ = strconv.Unquote(text.Value) // the compiler took it
	return named.Name, code
}

// Every statement and every row has a severity and a remedy.
func TestEveryCodeHasAConsequence(t *testing.T) {
	codes := declaredCodes(t)
	require.Greater(t, len(codes), 50)
	for _, code := range codes {
		assert.Contains(t, consequences, code)
	}
	for _, v := range []record.Verdict{record.Late, record.Silent, record.Crossed, record.Inverted, record.Unsteady,
		record.Undecided} {
		assert.Contains(t, consequences, Shown{Judgement: record.Judgement{Verdict: v}}.Code())
	}
	for code, c := range consequences {
		assert.Contains(t, Severities, c.Severity, code)
		assert.NotEmpty(t, c.Remedy, code)
	}
}

// What is to be done about each, by name: danger first.
func TestSeverityAndRemedyOfEachStatement(t *testing.T) {
	table := map[consequence]string{
		{Danger, RestoreNow}: "mains-still-removed",
		{Fault, PutRight}: "not-so also-answered none-proved reading-outside restart-silent restart-late " +
			"alarm-never alarm-time/fail alarm-early not-received not-observed switched-off-late shown/late shown/silent " +
			"shown/crossed shown/inverted shown/unsteady " +
			"computed/charger computed/charging computed/loop",
		{Fault, TestIt}:       "not-tested no-part alarm-not-tried alarm-not-seen",
		{Fault, LowerRisk}:    "path-on-mains no-battery no-output",
		{Fault, SizeSupply}:   "computed/adapter computed/standby computed/energy computed/recharge computed/output-limit",
		{Fault, ShortenRun}:   "computed/drop computed/far",
		{Fault, RenewBattery}: "computed/sag computed/internal",
		{Fault, TakeOffTest}:  "still-on-test",
		{Advice, DoIt}:        "not-checked not-done",
		{Advice, TakeReading}: "not-measured no-voltmeter cable-unmeasured",
		{Advice, TestIt}: "alarm-on-entry alarm-silenced switch-over-unseen proved-with-mains " +
			"proved-then-left path-not-known",
		{Advice, MeasureIt}:      "shown/undecided reading-void reading-undecided uncertainty-not-stated restart-undecided",
		{Advice, CorrectMap}:     "report-garbled strangers-reported alarm-not-reported",
		{Advice, GetCalibrated}:  "calibration-over calibration-not-stated",
		{Advice, DeclareIt}:      "alarm-undeclared no-centre not-computed limits-assumed power-unknown rests-on-defaults",
		{Advice, CompareClocks}:  "receipt-not-timed receipt-before",
		{Advice, AgreeIt}:        "customer-refused nobody-signed not-accepted",
		{Advice, RenewBattery}:   "computed/age",
		{Advice, SizeSupply}:     "computed/current computed/system computed/system-alarm",
		{Advice, FollowFireCode}: "only-timed",
		{Advice, LookAhead}:      "got-worse",
		{Advice, FitResistor}:    "unwatched",
		{Advice, AskMaker}:       "float-disputed",
		{Fault, CheckPower}:      "switch-over-lost",
		{Fault, ExplainIt}:       "contradicted",
		{Advice, PutBack}:        "photograph-lost",
		{Advice, TakeInEarnest}:  "practice",
		{Advice, SeeOtherVisit}:  "retest-extent",
		{Advice, NoRemedy}:       "signals-lost timed-differently",
	}
	for want, codes := range table {
		for _, code := range strings.Fields(codes) {
			assert.Equal(t, want, consequences[code], code)
		}
	}
}

// The same statement may be graver or lighter: a danger, what is undecided, what only lacks a
// declaration, what is late by a limit of ours.
func TestSeverityByWhatIsTheMatter(t *testing.T) {
	so := func(r Row, ruling checks.Ruling, assumed ...string) Statement {
		return ComputedSo{Row: r, Ruling: ruling, Assumed: assumed}
	}
	restartLate := func(by site.Authority) Statement {
		return RestartLate{3 * time.Minute, site.Limit{SI: 120, By: by}}
	}
	late := record.Judgement{Verdict: record.Late}
	for _, tc := range []struct {
		what     Statement
		severity Severity
		remedy   Remedy
	}{
		{ComputedSo{Row: ChargerRow{}, Ruling: checks.Fail, Danger: true}, Danger, StopCharging},
		{ComputedSo{Row: ChargingRow{}, Ruling: checks.Fail, Danger: true}, Danger, StopCharging},
		{so(ChargingRow{}, checks.Fail), Fault, PutRight},
		{so(ChargingRow{}, checks.Undecided), Advice, ReadAgain},
		{so(ChargerRow{}, checks.Undecided), Advice, MeasureIt},
		{so(ChargerRow{}, checks.Undecided, "supply.battery.cells"), Advice, DeclareIt},
		{so(SagRow{}, checks.Fail), Fault, RenewBattery},
		{so(SagRow{}, checks.Undecided), Advice, MeasureIt},
		{so(SagRow{}, checks.Undecided, "supply.battery.cells"), Advice, DeclareIt},
		{so(InternalRow{}, checks.Undecided), Advice, MeasureIt},
		{so(InternalRow{Beyond: true}, checks.Undecided), Advice, LoadTest},
		{so(InternalRow{Beyond: true}, checks.Fail), Fault, RenewBattery},
		{ReadingUndecided{Beyond: true}, Advice, DeclareIt},
		{so(AdapterRow{}, checks.Undecided), Advice, SizeSupply},
		{so(AdapterRow{}, checks.Undecided, "supply.loads"), Advice, DeclareIt},
		{so(AdapterRow{}, checks.Fail, "supply.loads"), Fault, SizeSupply},
		{so(StandbyRow{}, checks.Undecided), Advice, SizeSupply},
		{so(EnergyRow{}, checks.Undecided, "supply.temperature"), Advice, DeclareIt},
		{so(FarRow{}, checks.Undecided), Advice, MeasureIt},
		{so(DropRow{}, checks.Undecided), Advice, ShortenRun},
		{so(LoopRow{}, checks.Undecided), Advice, MeasureIt},
		{so(CurrentRow{}, checks.Undecided), Advice, DeclareIt},
		{so(SystemCurrentRow{}, checks.Undecided), Advice, DeclareIt},
		{so(AgeRow{Age: time.Hour}, checks.Undecided), Advice, RenewBattery},
		{so(AgeRow{Age: -48 * time.Hour}, checks.Undecided), Advice, DeclareIt},
		{NotComputed{Row: "standby", Lacks: lack(LackCapacity)}, Advice, DeclareIt},
		{NotComputed{Row: "standby", Lacks: lack(LackSense)}, Advice, DeclareIt},
		{NotComputed{Row: "charging", Lacks: lack(LackChargingVoltage)}, Advice, TakeReading},
		{NotComputed{Row: "far", Lacks: append(lack(LackMinimum), lack(LackFarVoltage)...)}, Advice, TakeReading},
		{Shown{Judgement: late}, Fault, PutRight},
		{Shown{Judgement: late, OurLimit: true}, Advice, DeclareIt},
		{restartLate(site.SiteFile), Fault, PutRight},
		{restartLate(site.Named), Fault, PutRight},
		{restartLate(site.CommonPractice), Advice, DeclareIt},
	} {
		f := Finding{What: tc.what}
		assert.Equal(t, []any{tc.severity, tc.remedy}, []any{f.Severity(), f.Remedy()}, "%#v", tc.what)
	}
}

// Findings stand by severity, the gravest first, else as they were found, and are numbered so.
func TestFindingsAreOrderedBySeverity(t *testing.T) {
	list := ordered([]Finding{{What: NotChecked{}}, {What: NotSo{}}, {What: NotDone{}}, {What: MainsStillRemoved{}},
		{What: NoneProved{}}}, "X")
	var got []string
	for _, f := range list {
		got = append(got, f.ID+" "+f.Code())
	}
	assert.Equal(t, []string{"X1 mains-still-removed", "X2 none-proved",
		"X3 not-so", "X4 not-done", "X5 not-checked"}, got)
	s := begin(t)
	a := s.take(map[string][]any{"walk/2.1": append(attempt("walk/2.1", "z2", -1, 0), answer("walk/2.1", record.AsItIs)),
		programme.IDMainsOn: {answer(programme.IDMainsOn, record.LeftOut, "fuse blown")}})
	assert.Equal(t, []Severity{Danger, Fault}, []Severity{a.Findings()[0].Severity(), a.Findings()[1].Severity()})
	judged := a.Judged().Findings[0]
	assert.Equal(t, []any{"F1", Danger, RestoreNow}, []any{judged.ID, judged.Severity, judged.Remedy})
}
