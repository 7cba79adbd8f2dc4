package words_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"path"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
	"loopwitness/commission/words/pseudo"
)

// declared is what the source of a package declares: its types with a method Code, and
// the constants of each type, by package and name.
type declared struct {
	phrases   map[string]bool
	constants map[string][]string
}

// declaredIn reads the source of packages, without their tests.
func declaredIn(t *testing.T, folders ...string) declared {
	t.Helper()
	d := declared{map[string]bool{}, map[string][]string{}}
	for _, folder := range folders {
		files, err := filepath.Glob(folder + "/*.go")
		require.NoError(t, err)
		require.NotEmpty(t, files, folder)
		for _, file := range files {
			if strings.HasSuffix(file, "_test.go") {
				continue
			}
			f, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
			require.NoError(t, err)
			d.read(f)
		}
	}
	return d
}

func (d declared) read(f *ast.File) {
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			if n.Recv != nil && n.Name.Name == "Code" {
				if of, is := n.Recv.List[0].Type.(*ast.Ident); is {
					d.phrases[f.Name.Name+"."+of.Name] = true
				}
			}
		case *ast.ValueSpec:
			of, typed := n.Type.(*ast.Ident)
			if !typed || len(n.Values) != 1 {
				return true
			}
			if literal, is := n.Values[0].(*ast.BasicLit); is && literal.Kind == token.STRING {
				value, _ := strconv.Unquote(literal.Value) // it has been parsed
				key := f.Name.Name + "." + of.Name
				d.constants[key] = append(d.constants[key], value)
			}
		}
		return true
	})
}

var folders = []string{".", "../judge", "../programme", "../record", "../site", "../signal", "../kit/photograph",
	"../../checks"}

func nameOf(p words.Phrase) string {
	of := reflect.TypeOf(p)
	return path.Base(of.PkgPath()) + "." + of.Name()
}

// said checks what is said of a phrase, and says it.
func said(t *testing.T, l words.Language, p words.Phrase) string {
	t.Helper()
	text := l.Say(p)
	assert.NotEmpty(t, text, "%T %s", p, p.Code())
	for _, fault := range []string{"%!", "<nil>", "NaN", "Inf", "{", "}"} {
		assert.NotContains(t, text, fault, "%T %s", p, p.Code())
	}
	return text
}

func TestWhatHasNoWordsIsAFault(t *testing.T) {
	assert.Panics(t, func() { words.English{}.Say(words.Note("unheard of")) })
	assert.Panics(t, func() { words.English{}.Say(words.Detail{Kind: "unheard of", Text: "x"}) })
}

func TestLists(t *testing.T) {
	of := []words.Phrase{words.AsTyped("a"), words.Detail{Kind: words.GradeDetail}, words.AsTyped(""), words.AsTyped("b"),
		words.AsTyped("c")}
	for by, want := range map[words.Joint]string{
		words.Commas: "a, b, c", words.Semicolons: "a; b; c", words.And: "a, b and c", words.Sentences: "a b c",
	} {
		assert.Equal(t, want, words.English{}.Say(words.List{By: by, Of: of}))
		assert.Equal(t, "a", words.English{}.Say(words.List{By: by, Of: of[:2]}))
		assert.Empty(t, words.English{}.Say(words.List{By: by}))
		assert.Empty(t, pseudo.Language{}.Say(words.List{By: by}))
	}
}

func TestNumbersAndTimes(t *testing.T) {
	l := words.English{}
	assert.Equal(t, "−0.56", l.Number(-0.5599, 2))
	assert.Equal(t, "−10", l.Number(-10, words.AsNeeded))
	assert.Equal(t, "13.625", l.Number(13.625, words.AsNeeded))
	assert.Equal(t, "0,50", pseudo.Language{}.Number(0.5, 2))
	at := time.Date(2026, 11, 24, 21, 19, 41, 0, time.FixedZone("", 3600))
	assert.Equal(t, "21:19:41", l.TimeOfDay(at))
	assert.Equal(t, "2026-11-24 21:19 +01:00", l.Moment(at))
	assert.Equal(t, "24 November 2026", l.Date(at))
}

func TestByTag(t *testing.T) {
	l, known := languages.ByTag("en")
	assert.True(t, known)
	assert.Equal(t, words.English{}, l)
	_, known = languages.ByTag(pseudo.Language{}.Tag())
	assert.False(t, known)
}

func lackOf(what judge.LackCode) judge.Lack {
	return judge.Lack{What: what, Of: []string{"", "Sounder"}, Said: "capacity 0"}
}

var (
	zone      = programme.ZoneName{Number: 3, Name: "Kiln room"}
	detector  = programme.DetectorName{Point: "3.1", Name: "Motion detector", Zone: zone, OnStandby: true}
	limit     = site.Limit{SI: 2, By: site.CommonPractice}
	named     = site.Limit{SI: 3, By: site.Named, Source: "agreed with the customer"}
	limits    = judge.Range{Lower: limit, Upper: &named}
	noon      = time.Date(2026, 11, 24, 12, 0, 0, 0, time.UTC)
	item      = programme.Name{Kind: programme.StepCheck, Item: "on-test"}
	summary   = judge.Summary{Times: checks.Times{N: 3, Mean: 1, StandardDeviation: math.NaN()}, Limit: 2}
	autonomy  = 20.5
	dangerous = judge.Finding{
		Subject: judge.Subject{Part: judge.PartSupply},
		What:    judge.ComputedSo{Row: rows[3], Ruling: checks.Fail, Danger: true},
	}
	danger = judge.Charge{PerCell: 4.6, Verdict: checks.ChargeDanger, Reason: checks.AboveEveryCharge, Lower: 12,
		Upper: 12.6, Highest: 13.05}
	standby = judge.StandbyRow{Loads: judge.Loads{Standby: 0.2, For: "12 h", Alarm: 0.7, AlarmFor: "15 min"},
		Ageing:   judge.Assumable{Value: 1.25, Assumed: true},
		Autonomy: &autonomy, Required: 5, Declared: 4, Fitted: "7 Ah", Source: "agreed"}
)

// rows are said as a part of a table, not as a phrase.
var rows = []judge.Row{
	judge.AdapterRow{Standby: 0.2, Alarm: 0.7, Charge: 0.5, Rating: "40 VA", Least: 1.3, Most: 1.5, Need: 2.2}, standby,
	judge.StandbyRow{Loads: judge.Loads{Measured: true, AlarmMeasured: true, Added: true}},
	judge.StandbyRow{Loads: judge.Loads{AlarmMeasured: true, Added: true}}, judge.StandbyRow{Loads: judge.Loads{Measured: true}},
	judge.StandbyRow{Loads: judge.Loads{AlarmMeasured: true}},
	judge.OutputLimitRow{Which: judge.AlarmOutput, Load: 0.5, Most: "1 A"},
	judge.ChargerRow{Charge: danger, Chemistry: "lithium-ion", Cells: 3, Volt: 13.8, OfAdapter: true, Ampere: 3,
		MostAmpere: 1.4, RuinAmpere: 2.8},
	judge.RechargeRow{Within: "72 h", To: judge.Assumable{Value: 0.8, Assumed: true}, Capacity: "17 Ah", Ampere: 1.5,
		Hours: 10, Source: "agreed"},
	judge.EnergyRow{Loads: judge.Loads{Standby: 0.2, For: "12 h", Alarm: 0.7, AlarmFor: "15 min"}, Output: judge.Assumable{Value: 12},
		Efficiency: judge.Assumable{Value: 0.9, Assumed: true}, Required: 40, Declared: 30, Energy: 60, Autonomy: &autonomy},
	judge.ChargingRow{Chemistry: "lead-acid", Cells: 6, Charged: record.Yes, Rose: true,
		Readings: []judge.ChargingReading{{Charge: danger, Step: programme.IDMainsPresent, Volt: 15.2, Uncertainty: 0.1}}},
	judge.SystemCurrentRow{Alarm: true, Declared: 0.7, Measured: 0.8, Known: true},
	judge.FarRow{Detector: detector, Volt: 10.9, Uncertainty: 0.05, Minimum: "9 V"},
	judge.DropRow{Detector: detector, Supply: 10.5, Limit: &limit, Length: "18 m", Conductor: "22 AWG",
		Rule: checks.RuleGauge, Current: "15 mA", Carries: 0.03, Minimum: "9 V", Far: 8.9, Shorten: 12, Thicker: "0.5 mm2"},
	judge.DropRow{Detector: detector, Supply: 12, Converter: true, After: "1.1", Rule: checks.RuleArea, Minimum: "9 V",
		Hopeless: true},
	judge.CurrentRow{Output: "Sounder", Declared: "350 mA", Measured: "400 mA"},
	judge.LevelRow{Output: "Sounder", Measured: "96 dB at 3 m", Level: 95.9, Background: 0.1, Distance: 3,
		Within: judge.Assumable{Value: 0.6, Assumed: true}, Class: 2, Weighting: "A", Tolerance: 3, Down: 3.6, Up: 3.6,
		Declared: "105 dB", DeclaredAt: "1 m", Elsewhere: true},
	judge.LevelRow{Output: "Sounder", Measured: "62 dB at 1 m", Level: 60.7, UpperBound: true, Distance: 1},
	judge.MarginRow{Output: "Sounder", Measured: "62 dB at 1 m over 60 dB", Margin: 2, Uncertainty: 3.6, Limit: limit},
	judge.CutOffRow{Output: "Sounder", Observed: "45 min", Declared: "15 min"},
	judge.CutOffRow{Output: "Sounder", Observed: "> 18 min", Declared: "15 min", Exceeded: true},
	judge.LoopRow{Detector: detector, Measured: "4.7k", Wiring: programme.Hint{Wiring: site.OneResistor, EndOfLine: "4k7"},
		Tolerance: judge.Assumable{Value: 0.05, Assumed: true}, Cable: 57.6, Length: "300 m", Conductor: "0.22 mm2",
		States: []checks.LoopState{checks.LoopNormal, checks.LoopCut}},
	judge.InternalRow{Rest: 12.6, Load: 12.4, More: 0.3, Ohm: 0.1, Uncertainty: 0.2},
	judge.SagRow{Readings: 4, Tried: time.Minute, Required: "12 h", From: 12.7, To: 12.6, Ampere: 0.2, Short: true},
	judge.AgeRow{Fitted: "2026-11-20", Age: time.Hour, Life: 9000 * time.Hour},
}

// examples are phrases with all their arguments, one at least of each type.
func examples(all declared) []words.Phrase {
	out := append(slices.Concat(reusedExamples, pageoneExamples),
		words.AsTyped(
			"typed",
		), words.Named("typed"), words.Remarked("typed"), words.List{By: words.Commas,
			Of: []words.Phrase{words.AsTyped("typed")}},
		words.Titled{
			Of: judge.Satisfactory,
		}, words.Instant{At: noon}, words.Second, words.OutOf{N: 1, All: 2}, words.StillOpen{Open: 2, All: 9},
		words.Quantity{Value: 1, Decimals: 2, In: words.Volt}, words.Measured("13.6 V"),
		words.Chemistry("lead-acid"), words.PremisesHeading, words.SimulatedWarning,
		words.PremisesLabel, words.PointColumn, words.NotSignedStatus, words.OnGlassSigning, words.NoneNote, words.OpenLoop{},
		words.FaultReads{Ohm: "6900"},
		words.PageText(
			"now",
		), words.PageLearning("pause"), words.Alike{checks.LoopNormal, checks.LoopCut},
		words.VisitOf{Kind: programme.Handover, Day: noon},
		words.FindingsFigure{N: 1, Of: words.Graded{Faults: 1}}, words.FindingsFigure{}, words.LimitationsFigure{N: 2},
		words.Grade(judge.Danger), words.Graded{Dangers: 1, Faults: 2, Advice: 1}, words.Matter{Of: dangerous},
		words.ToDo{Of: dangerous, Undertaken: &record.Undertaken{Action: record.PutRight, By: "2026-12-01", Who: "Bea"}},
		words.CorrectedText{
			Of: &item,
			Correction: record.Correction{Corrected: record.Corrected{Field: record.NameField, Text: "Bea",
				Reason: "misheard", By: "Bea"}, Earlier: "Bee", After: true},
		}, words.VisitSetAside{Reason: "wrong site", By: "Bea"},
		words.SiteFileChanged{
			Again:   []programme.Name{item},
			Removed: []programme.Name{item},
		}, words.DangerFirst{Of: dangerous}, words.ToDo{Of: judge.Finding{What: judge.NoBattery{}}},
		words.Span{From: noon, To: noon}, words.Extent{Operated: 1, Detectors: 1, OfSite: 2, Outputs: 1, Checks: 1},
		words.Pause{From: noon, To: noon, Why: record.StopAsked}, words.Outage{From: noon}, words.MorePauses{N: 2},
		words.MeterUncertainty{Volt: 0.05}, words.MeterUncertainty{}, words.Accepts{IDs: []string{"L1", "L2"}},
		words.BrokenOff{Trials: 2}, words.Zones{1, 3, 4},
		words.ZoneHead{Zone: zone, Area: "Kiln room", Kind: "door", Hint: &programme.Hint{Wiring: site.NormallyClosed}},
		words.LimitCell(limit), words.LimitCell(named), words.LimitsBy{limit, named}, words.SteadyRule{Steady: named},
		words.LastTrial{Verdict: record.Proved, Trial: 2, Trials: 2, Earlier: []words.EarlierTrial{{Verdict: record.Silent}},
			Mended: []string{"crimped"}}, words.StruckTrial{Trial: 1, Verdict: record.Silent, Reason: "nobody had moved"},
		words.EarlierTrial{Verdict: record.Late, WhenRestored: true, Reported: true, Operated: time.Second},
		words.ResponseTimes{
			Of: summary,
		}, words.TimesInFull{Of: summary}, words.BoundsNote{Confidence: 0.95}, words.Share(0.3684),
		words.OperationsCounted{Of: judge.Operations{Operated: 9, Reported: 7, Repeated: 2, Mended: 1, Struck: 1}},
		words.CuesGiven{Of: judge.Cues{Told: 2, Touched: 3, Counted: 1, NotTimed: 4, Widest: 31 * time.Millisecond,
			Typical: 12 * time.Millisecond, OwnClock: true}}, words.CuesGiven{Of: judge.Cues{NotTimed: 4}},
		words.TimedFrom{
			By:     record.ByTouch,
			Second: 0.4,
		}, words.TimedFrom{By: record.ByCount}, record.ByTouch, record.OnPhone, record.NoTouch,
		words.CueMarks{Touched: true, Counted: true, NotTimed: true}, words.Devices{Of: []string{"Bramble 7", ""}},
		words.Devices{Of: []string{"a", "b", "c", "d", "e"}},
		words.TouchedAt{At: noon}, words.Between{From: -0.1, To: 0.2, Decimals: 3},
		judge.NotTimed{Why: record.NoTouch, Of: []site.Point{"1.1", "1.2"}, OnStandby: true}, judge.OnlyReported{},
		judge.Shown{Half: record.Operate, Judgement: record.Judgement{Verdict: record.Silent, NotTimed: record.NoTouch}},
		words.HowTimed{By: signal.Listening{Way: signal.ByWatching, TimedBy: signal.ByHand}},
		words.HowTimed{By: signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer}},
		words.HowTimed{By: signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer}, Zones: []int{1, 2, 3, 5},
			Again: true}, words.HeardByEither{Zones: []int{4}}, words.HeardByEither{Zones: []int{1, 2, 5}},
		judge.HeardElsewhere{Signals: 1}, judge.HeardElsewhere{Signals: 3},
		words.HowTimed{By: signal.Listening{Way: signal.OverHook, TimedBy: signal.ByComputer}},
		words.HowTimed{By: signal.Listening{Way: signal.ByPolling, TimedBy: signal.ByComputer, AskedNS: 2e9}},
		words.VoltageOff{After: time.Minute, Loaded: true}, words.ReadBefore{Volt: []float64{12.5, 12.4}},
		words.ValueTyped{Text: "two"}, words.LooksStand{So: 2, All: 3, BySignal: 1},
		words.LooksBut{Result: record.Defect, At: []site.Point{"5.1", "5.2", "5.3", "6.1"}, Remark: "worn"},
		words.LooksValue{Text: "tone", At: []site.Point{"5.1"}},
		words.ColdRestart{Silent: true, Limit: limit}, words.ColdRestart{Took: time.Second, Limit: named},
		words.ChimeTrial{Zone: 1, Tried: true, Reported: time.Second, Heard: time.Second, Works: true},
		words.ChimeTrial{Zone: 1}, words.ChimeTrial{Zone: 1, Tried: true},
		words.OutputTrial{Kind: site.Sounder, Energised: true, On: 2 * time.Second, Result: record.Works},
		words.OutputTrial{Kind: site.Sounder, Energised: true, On: 2 * time.Second, Because: record.OffQuiet, After: true,
			Result: record.Works}, record.OffPhoneSilent, record.OffQuiet, record.OffGuardLost, record.OffTimeUp,
		words.OutputTrial{Kind: site.Strobe, Result: record.LeftOut}, words.CutOffSaid{Declared: "15 min"},
		words.ComputedTried{Computed: "12 h", Tried: 10 * time.Minute}, words.BatteryForm(site.Inline), words.CellCount{N: 6},
		words.DeclaredAs{Of: words.List{By: words.Commas, Of: []words.Phrase{words.AsTyped("350 mA")}}},
		words.ChimeMissed{Trials: 2, Missed: 1},
		words.Before{Answers: words.List{By: words.Commas, Of: []words.Phrase{record.Defect}}},
		words.ToChange{Text: "fit more"}, words.PictureTitle{N: 1, Shows: record.Motif{Zone: &zone}},
		words.PictureAdded{
			At: noon,
		}, words.PictureWithout{Removed: []photograph.Hidden{photograph.Location, photograph.OtherData}}, photograph.Location,
		words.DigestBegins{Digits: "0123"}, words.AttachedPhotograph{Shows: record.Motif{Output: "Sounder"}},
		words.PictureLearnt{}, words.PictureLost{}, words.PhotographTakenBack{Withdrawal: record.Withdrawal{
			TakenBack: record.TakenBack{Name: "photograph-1.jpg", Reason: "shows a person", By: "Bea"},
			Shows:     record.Motif{Output: "Sounder"}, Entry: 9}},
		judge.PhotographLost{Name: "photograph-1.jpg", Entry: 9},
		words.SignedBy{Name: "Bellbird"}, words.Attached{Entries: 2, Photographs: 1}, words.JournalBegins{Digits: "0123"},
		words.PageOf{Page: 1, Pages: 2}, record.PutRight, record.NameField,

		judge.FaultReported, record.AtCentre, record.LawFaultCause,
		programme.Technician, programme.StageSupply, programme.Retest, zone, detector,
		programme.Hint{Wiring: site.TwoResistors, EndOfLine: "4k7", ContactResistor: "4k7"},

		checks.RuleArea, signal.OverMQTT, signal.ByHand, signal.MainsFault,
		record.Operate, record.Proved, record.Done, record.StopAsked, record.AboutSupply,
		record.Motif{Detector: &detector},
		site.DetectorKind("door"), site.Sounder, limit, named,

		judge.Satisfactory, judge.PartVisit, judge.WithMains, judge.Deferral, limits, judge.Range{Lower: limit},
		judge.Finding{Subject: judge.Subject{Zone: &zone}, What: judge.NoBattery{}, Because: "b", Noted: []string{"n"}},
		judge.Subject{Detector: &detector}, judge.Subject{Zone: &zone}, judge.Subject{Step: &item},
		judge.Subject{Part: judge.PartVisit}, judge.NotSo{Item: item}, judge.NotChecked{Item: item}, judge.NotDone{Act: item},
		judge.NotTested{ProvedOnStandby: true}, judge.NotTested{}, judge.NoPart{}, judge.ProvedWithMains{},
		judge.ProvedThenLeft{}, judge.AlsoAnswered{Zone: zone}, judge.ReportGarbled{Raw: "x"}, judge.OnlyTimed{},
		judge.NoneProved{}, judge.StrangersReported{Addresses: 2}, judge.NotMeasured{},
		judge.ReadingVoid{Volt: 12, Why: judge.OutputOff, Output: "Sounder"},
		judge.ReadingVoid{Volt: 12, Why: judge.OutputUnproved, Output: "Sounder"},
		judge.ReadingVoid{Volt: 12, Why: judge.WithMains},
		judge.ReadingOutside{Volt: 9, Limit: limits}, judge.ReadingUndecided{Volt: 9, Uncertainty: 0.1, Limit: limits},
		judge.CalibrationOver{
			Until: "2026-01-01",
		}, judge.CalibrationNotStated{}, judge.UncertaintyNotStated{}, judge.PathOnMains{}, judge.PathNotKnown{},
		judge.NoBattery{}, judge.StillOnTest{}, judge.MainsStillRemoved{}, judge.RestartSilent{},
		judge.RestartLate{Took: time.Minute, Limit: limit}, judge.RestartUndecided{Took: time.Minute, Limit: limit},
		judge.NotObserved{Kind: site.Strobe}, judge.NotObserved{Kind: site.Sounder}, judge.SwitchedOffLate{Why: "refused"},
		judge.ComputedSo{Row: standby, Ruling: checks.Undecided}, judge.Practice{}, judge.TimedDifferently{},
		judge.SignalsLost{Signals: 2, From: noon, To: noon},
		judge.Contradicted{Law: record.LawClocksAgree, Entries: []int{3, 4}, All: 12},
		judge.Contradicted{Law: record.LawClocksAgree, Entries: []int{3}, All: 1},
		judge.WasAbsent{Times: 1, Lasted: time.Minute, From: noon, To: noon, Asleep: true},
		judge.WasAbsent{Times: 3, Lasted: time.Minute, From: noon, To: noon.Add(time.Hour)},
		judge.ClockSet{Times: 1, By: time.Hour, At: noon},
		judge.ClockSet{Times: 1, By: -time.Second, AtLeast: true, At: noon},
		judge.ClockSet{Times: 2, By: -time.Second, At: noon},
		judge.CustomerRefused{}, judge.NobodySigned{}, judge.NotAccepted{IDs: []string{"L1"}},
		judge.NotComputed{Row: "drop", Of: []site.Point{"5.1"}, Lacks: []judge.Lack{{What: judge.LackLength}}},
		judge.NotComputed{Row: "charging", Lacks: []judge.Lack{{What: judge.LackChargingVoltage}}},
		judge.Unwatched{Zones: []programme.ZoneName{zone}}, judge.FloatDisputed{PerCell: 3.45},
		judge.RestsOnDefaults{Rows: []judge.RowsOf{{Row: "adapter"}, {Row: "drop", Of: []site.Point{"5.1"}}},
			Keys: []string{"supply.loads"}},
		judge.LimitsAssumed{Keys: []string{"limits.response.door", "limits.response.smoke", "limits.steady"}},
		judge.PowerUnknown{Of: []site.Point{"5.1"}}, judge.NoOutput{}, judge.NoCentre{}, judge.NextNotSaid{},
		judge.NotToldOf{Keys: []string{"event.told"}}, judge.BeyondExtent{Of: []site.Point{"5.1"}}, judge.ExtentNotSaid{},
		judge.TakenAs{Keys: []string{"supply.battery.form"}}, words.FoundLoop{Typed: "1.2 ohm"}, words.FoundLoop{Open: true},
		judge.NotKnown{Keys: []string{"zones[].wiring", "x"}}, programme.WiringName(site.OneResistor),
		record.FromPlate, record.FromPapers, record.ByMeter, record.ByWord, site.GroupCable, site.GroupForm,
		words.KeyOf("zones[].wiring"), words.FoundText{Key: programme.ToldReal, Text: programme.RealAlarm},
		words.FoundText{Key: "event.told", Text: "typed"}, judge.NoVoltmeter{},
		judge.SwitchOverLost{After: time.Second}, judge.ReportingInterrupted{For: time.Second},
		judge.SwitchOverUnseen{}, judge.Danger,
		judge.PutRight, judge.AlarmOutput, site.Inline, judge.RetestExtent{Steps: 1, AllSteps: 2, Detectors: 1,
			AllDetectors: 2},
	)
	out = append(out, earlierExamples(all)...)
	anInstant := judge.AlarmEvent{What: record.OutputOn, By: record.ByKey, Output: "Sounder", Since: 3 * time.Second,
		Took: 2 * time.Second, Uncertainty: time.Second, Limit: "5 s", Ruling: checks.Undecided, At: noon}
	received := judge.AlarmEvent{What: judge.Received, By: record.ByCentre, Path: "broadband", Said: "12:00:31",
		Reference: "77", Since: -time.Second, Took: -time.Second, Uncertainty: time.Second, Limit: "30 s"}
	out = append(out, record.Setting, record.ByKey, anInstant, words.AlarmSince{At: noon, Row: anInstant},
		words.AlarmSince{At: noon, Row: received}, words.AlarmReceipt{Row: received}, words.AlarmLimit{Row: anInstant},
		words.AlarmLimit{},
		words.AlarmTried{Attempts: 2}, judge.AlarmNotTried{}, judge.AlarmNever{What: record.OutputOn, Output: "Strobe",
			Kind: site.Strobe}, judge.AlarmNever{What: record.SystemSet}, judge.AlarmNever{What: record.Unset},
		judge.AlarmNever{What: record.AllAtRest}, judge.AlarmTime{Row: anInstant}, judge.AlarmTime{Row: received},
		judge.AlarmEarly{After: time.Second, Entry: "30 s"}, judge.AlarmOnEntry{After: time.Second},
		judge.AlarmNotReported{What: []record.Instant{record.Alarmed, record.Unset}},
		judge.AlarmNotTimed{What: []record.Instant{record.SystemSet}}, judge.AlarmSilenced{},
		judge.AlarmNotSeen{Output: "Strobe"},
		judge.AlarmUndeclared{Keys: []string{"setting.exit_time"}}, judge.NotReceived{Path: "broadband"},
		judge.ReceiptNotTimed{}, judge.ReceiptBefore{Path: "broadband", By: time.Minute})
	laws, _ := record.Laws()
	for _, law := range laws {
		out = append(out, law)
	}
	return slices.Concat(out, kinds(all), steps(all), ofSince(), nextVisits(), faultExamples, contentExamples,
		chartExamples, largeExamples, webExamples)
}

// nextVisits are all ways of saying when the next visit is due.
func nextVisits() []words.Phrase {
	every := site.Interval{Text: "6 months", Months: 6}
	return []words.Phrase{words.NextDue{}, words.NextDue{Of: judge.NextVisit{None: true}},
		words.NextDue{Of: judge.NextVisit{Agreed: true, Interval: every}},
		words.NextDue{Of: judge.NextVisit{Agreed: true, Interval: every, From: noon, Due: every.After(noon)}},
		words.DueVisit{Premises: "Studio", Reference: "KP-7"}, words.DueMatter{Premises: "Studio", Of: dangerous},
		words.DueBattery{Premises: "Studio"}, words.DueMeter{Name: "meter"}, words.InHand{},
		words.InHand{Action: record.PutRight, By: noon, Who: "Bea"}, words.GradesCounted{},
		words.GradesCounted{Faults: 2, Advice: 1},
		words.CountedFrom{}, words.CountedFrom{Maintenance: site.Maintenance{Interval: every}},
		words.CountedFrom{Maintenance: site.Maintenance{None: true}, Kind: programme.Handover, From: noon},
		words.CountedFrom{Maintenance: site.Maintenance{Interval: every}, Kind: programme.Handover, From: noon}}
}

// kinds are phrases that are made of the constants of another type.
func kinds(all declared) (out []words.Phrase) {
	for _, kind := range all.constants["words.DetailKind"] {
		out = append(out, words.Detail{Kind: words.DetailKind(kind), Text: "typed"})
	}
	for _, overall := range all.constants["judge.Overall"] {
		out = append(out, words.ResultSentence(overall))
	}
	for _, code := range all.constants["checks.GuessCode"] {
		out = append(out, words.GuessWhat{What: checks.GuessCode(code), Value: 4700})
	}
	for _, why := range all.constants["checks.GuessReason"] {
		out = append(out, words.GuessWhy{Why: checks.GuessReason(why), Ohm: 4650, Within: 0.01, Cores: 4})
	}
	for _, next := range all.constants["checks.GuessCheck"] {
		out = append(out, words.GuessNext{Next: checks.GuessCheck(next)})
	}
	for _, kind := range site.Kinds {
		out = append(out, site.DetectorKind(kind), programme.Operating{Kind: site.DetectorKind(kind)},
			programme.Restoring{Kind: site.DetectorKind(kind)})
	}
	for _, wiring := range site.Wirings {
		out = append(out, programme.Hint{Wiring: site.Wiring(wiring), EndOfLine: "4k7", ContactResistor: "4k7"})
	}
	for _, what := range all.constants["judge.LackCode"] {
		out = append(out, lackOf(judge.LackCode(what)))
	}
	for _, verdict := range all.constants["record.Verdict"] {
		for _, half := range []record.Half{record.Operate, record.Restore} {
			j := record.Judgement{Verdict: record.Verdict(verdict), Other: &zone, Response: time.Second, Limit: time.Second}
			out = append(out, judge.Shown{Half: half, Judgement: j, Trials: 2})
		}
	}
	return out
}

// steps are the names of steps of all kinds, and the items of our checklists.
func steps(all declared) (out []words.Phrase) {
	for _, kind := range all.constants["programme.StepKind"] {
		out = append(out, programme.Name{Kind: programme.StepKind(kind), Item: "on-test", Detector: &detector, Zone: &zone,
			Output: "Chime", Role: programme.Customer, Group: site.GroupCable, After: time.Minute})
	}
	for item := range programme.Items() {
		out = append(out, item)
	}
	return append(out, programme.Name{ID: programme.IDMainsOff}, programme.Name{Kind: programme.StepCheck, Text: "typed"})
}
