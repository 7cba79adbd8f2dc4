package words

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
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
	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

var (
	aZone     = programme.ZoneName{Number: 3, Name: "Windows"}
	aDetector = programme.Name{Kind: programme.StepDetector, ID: "walk/3.1", Stage: programme.StageWalkTest,
		Detector: &programme.DetectorName{Point: "3.1", Name: "Left", Zone: aZone}}
	aCable   = programme.Name{Kind: programme.StepCable, ID: "cables/zone-3", Stage: programme.StageCables, Zone: &aZone}
	aLine    = programme.Name{Kind: programme.StepCheck, ID: "walk/3.1/gap", Stage: programme.StageWalkTest, Item: "gap"}
	aReceipt = programme.Name{Kind: programme.StepReceipt, ID: "alarm/path-1", Stage: programme.StageAlarm,
		Path: "broadband"}
	aSounder = programme.Name{
		Kind:   programme.StepOutput,
		ID:     "outputs/Sounder",
		Stage:  programme.StageOutputs,
		Output: "Sounder",
	}
)

// spoken is a phrase of each type, with its arguments.
var spoken = []ask.Phrase{
	ask.Verbatim("as typed"),
	ask.Proved{
		Point:    "3.1",
		Reported: time.Second,
		Restored: time.Second,
	}, ask.ChimeHeard{Output: "Chime", After: time.Second},
	ask.TrialShown{
		Point: "3.1",
		Shown: judge.Shown{Half: record.Operate, Judgement: record.Judgement{Verdict: record.Silent}},
	},
	ask.CableOf{Step: aCable}, ask.CableValuesOf{Step: aCable}, ask.CablePerhaps{Zone: aZone,
		Guesses: []checks.Guess{{What: checks.DetectorAlarm, Why: checks.ByCores, Next: checks.FindSupplyPair, Cores: 4}}},
	ask.CableShows{Row: judge.Computed{Row: judge.ContinuityRow{Zone: aZone, Measured: "open", Open: true},
		Ruling: checks.Fail}},
	ask.LoopMeans{Reading: "4k7", Means: judge.LoopMeaning{Ruling: checks.Pass}},
	ask.FoundHow{Step: aDetector, Keys: []string{"zones[].wiring"}}, ask.FoundValue{Step: aDetector,
		Key: "zones[].wiring"},
	ask.ToldValue{Step: aDetector, Key: "event.told"}, ask.WhichConcerned{Step: aDetector}, ask.AndTheOthers{Others: 3},
	ask.ToldWord(programme.FalseAlarm), ask.RatingIn{Step: aDetector}, ask.RestingLoop{Step: aDetector},
	ask.TrialLost{}, ask.TrialAgain{}, ask.TrialAbsent{Lasted: time.Minute, Asleep: true},
	ask.TrialAbsent{Lasted: 90 * time.Millisecond},
	ask.WasAbsent{Lasted: time.Hour, Asleep: true}, ask.WasAbsent{Lasted: time.Second}, ask.ClockWasSet{By: time.Hour},
	ask.ClockWasSet{
		By: -time.Hour,
	}, ask.ClockWasSet{By: -time.Hour, AtLeast: true}, ask.Meanwhile{Zone: &aZone, Address: "z3", State: signal.Active},
	ask.ZoneReports{
		Zone:  3,
		State: signal.Active,
	}, ask.ZoneGarbled{Zone: 3, Raw: `"ajar"`}, ask.StillActive{}, ask.TooSoon{}, ask.SameMoment{},
	ask.NotPrinted{Scripts: []string{"Han", "symbol"}},
	ask.CueTooOld{
		Why: errors.New("why"),
	}, ask.Restarted{After: time.Minute}, ask.NoCue{}, ask.LostMeanwhile{}, ask.NotConnected{},
	ask.StrangerMeanwhile{Address: "z9"}, ask.ElsewhereMeanwhile{Zone: 3},
	ask.CallsRefused{Refused: signal.Refused{Secrets: 2, Paths: 1, Hosts: 1, Methods: 1, Practice: 2, Bodies: 4, Parts: 5}, Strangers: 3},
	ask.CallsRefused{Refused: signal.Refused{Secrets: 40}, InAll: true},
	ask.EarLost{Ear: signal.OverHook}, ask.EarBack{Ear: signal.ByPolling},
	ask.SignalsLost{Signals: 7}, ask.ConnectedAgain{}, ask.StageBegins{Stage: programme.StageSupply},
	ask.StageIntroduced{Stage: programme.StageSupply, All: 7, Open: 3}, ask.StepsOpen{Open: 3}, ask.SignatureLapsed{},
	ask.AnsweredBefore{
		What: ask.LevelMatter,
		Text: "96 dB at 3 m",
	}, ask.SetAside{Bytes: 7, File: "journal.torn"},
	ask.SetAside{Bytes: 7, Lines: 2, File: "journal.torn"}, ask.PracticeVoltmeter{},
	ask.LoudCaution{}, ask.MayBeOn{Outputs: []string{"Sounder"}}, ask.SwitchOff{Output: "Sounder"},
	ask.StillOn{Output: "Sounder"},
	ask.MakeSureOff{
		Output: "Sounder",
	}, ask.NotSwitchedOff{Output: "Sounder", Why: errors.New("why")},
	ask.NotSwitchedOn{Output: "Sounder", Why: errors.New("why")}, ask.SwitchedOff{Output: "Sounder"},
	ask.NotLoaded{Outputs: []string{"Sounder"}}, ask.OffMeanwhile{Output: "Sounder"}, ask.TakenAs{Text: "13.7 V"},
	ask.LeftUnmeasured{Step: aSounder}, ask.Struck{Step: aDetector, Number: 2}, ask.NothingToStrike{},
	ask.StoppedAfter{Output: "Sounder", After: time.Minute}, ask.DidNotStop{Output: "Sounder",
		After: time.Minute}, ask.MainsMayBeOff{}, ask.MainsStillOff{},

	ask.NobodyGuards{Output: "Sounder", Why: errors.New("why")}, ask.NobodyGuards{Output: "Sounder"}, ask.ByHandOnly{Output: "Sounder"},
	ask.GuardLost{Output: "Sounder", Why: errors.New("why")}, ask.MayBeOnByHand{Output: "Sounder"},
	ask.TriedFor{Output: "Sounder", Most: time.Second}, ask.EnergiseUnguarded{Outputs: []string{"Sounder"}},
	ask.LeftOn{Output: "Sounder", Location: "yard", Kind: "sounder", Within: time.Second},
	ask.LeftOn{Output: "Sounder", Kind: "sounder", Unsure: true, Late: true},

	ask.NotProved{
		Step: aDetector,
	}, ask.NotHeard{Step: aDetector}, ask.SupplyVoltage{Step: aSounder}, ask.Identify{Step: aSounder},
	ask.ToEnergise{
		Output:   "Sounder",
		Kind:     "sounder",
		Location: "yard",
	}, ask.Observed{Output: "Sounder"}, ask.ObservedUntil{Output: "Sounder", On: 12 * time.Second,
		Why: record.OffPhoneSilent},
	ask.ObservedUntil{Output: "Strobe", Seen: true, On: time.Minute}, ask.Protected{Outputs: []string{"Sounder"}},
	ask.SwitchedOnByHand{
		Output: "Sounder",
	}, ask.TakeAgain{Step: aDetector}, ask.SwitchedOffByHand{Output: "Sounder"}, ask.GoTo{Step: aDetector},
	ask.Now{Do: programme.Operating{Kind: "door"}, Step: aDetector}, ask.OnStandby{Step: aDetector},
	ask.Outstanding{
		Finding: judge.Finding{ID: "F1", Subject: judge.Subject{Part: judge.PartVisit}, What: judge.Practice{}},
	}, ask.NothingOutstanding{}, ask.ResultStands{Result: judge.Unsatisfactory},
	ask.SignatureOf{Name: "Ignace", Role: programme.Customer}, ask.SignatureOf{Name: "Ignace", Role: programme.Technician},
	ask.AsSampledChoice{Volt: "12.61 V"}, ask.MeasuredChoice,
	ask.TakenAsSampled{Step: aSounder, Volt: "12.61 V", After: time.Minute},
	ask.SoundsWhile{Outputs: []string{"Sounder"}}, ask.OffSoon{Most: time.Minute}, ask.OnCharge{For: time.Hour},
	ask.Really{Text: "121 V", Why: ask.SupplyDoubt, Lower: "0 V", Upper: "16 V"}, ask.UntilStopped{CutOff: time.Minute},
	ask.Sounding{Output: "Sounder"}, ask.SystemCurrent{Step: aSounder}, ask.DetectorVoltage{Step: aDetector},
	ask.WhichTrial{Step: aDetector}, ask.OnChargeAgain{Step: aSounder}, ask.RedoChoice{Of: aSounder},
	ask.TrialChoice{Number: 1, Shown: judge.Shown{Half: record.Operate,
		Judgement: record.Judgement{Verdict: record.Silent}}},
	ask.SoundingStatus{Since: time.Second, Most: time.Minute}, ask.StepsLeft{All: 7, Open: 3},
	ask.Where{Location: "yard"},
	ask.EnergiseChoice{Outputs: []string{"Sounder"}}, ask.StageChoice{Stage: programme.StageSupply, All: 7, Open: 3},
	ask.TrialStatus{
		Since:     time.Second,
		ListenFor: time.Minute,
		Limit:     time.Second,
	}, ask.ListenStatus{Since: time.Second, ListenFor: time.Minute},
	ask.RestartStatus{Since: time.Second, Limit: time.Minute}, ask.LeftStatus{Left: time.Minute},

	ask.Ticked{
		Point: "3.1",
	}, ask.ReportsActive{Step: aDetector}, ask.OperatedAgain{Zone: aZone}, ask.TouchedConcluded{Step: aDetector},
	ask.NothingToCorrect{},
	ask.ToOperateAgain{Step: aDetector}, ask.RoomShown{Step: aDetector, How: ask.RoomTried, Verdict: record.Crossed},
	ask.RoomEmpty{}, ask.TouchesUnanswered{Touches: 2}, ask.AllOperated{}, ask.Silenced{Outputs: []string{"Sounder"}},
	ask.LooksAt{Step: aDetector, Result: record.AsItIs, Remark: "worn", Attempts: []ask.TrialChoice{{Number: 1,
		Shown: judge.Shown{Half: record.Operate, Judgement: record.Judgement{Verdict: record.Silent}}}}},
	ask.PhoneSilent{Output: "Sounder", Since: 12 * time.Second}, ask.PhoneHolds{Within: 10 * time.Second},
	ask.Counting{Left: 3}, ask.Roaming{}, ask.WhichOf{Zone: aZone}, ask.OperatedInstead{Step: aDetector},
	ask.WasNotOperated{Step: aDetector}, ask.NoReport{Step: aDetector}, ask.StaysOpen{Step: aDetector},
	ask.NoReports{Detectors: 3}, ask.RoamStatus{All: 9, Open: 3, Active: []programme.ZoneName{aZone}},

	ask.ToUndertake{Ask: ask.DayUndertaking},
	ask.UndertakenSo{ID: "F1", Undertaken: record.Undertaken{Action: record.PutRight, By: "2026-12-01", Who: "Bea"}},

	ask.AlarmCaution{}, ask.SystemMayBeSet{}, ask.SystemLeftSet{}, ask.UnsetAtOnce{Outputs: []string{"Sounder"}},
	ask.AlarmCame{}, ask.SoundedAfter{Output: "Sounder", After: time.Second}, ask.NotSet{},
	ask.AlarmProtected{Outputs: []string{"Sounder"}}, ask.AlarmMoment{Do: record.Intruded, Detector: aDetector.Detector},
	ask.IntrudeAt{}, ask.CentreSays{Step: aReceipt}, ask.CentreReference{Step: aReceipt},
	ask.AlarmStatus{Since: time.Second, Most: time.Minute},

	ask.JournalFailed{Journal: "journal.jsonl", Why: errors.New("why")},
	ask.Rescued{File: "rescued", Entries: 7},
	ask.GoOnStep{Number: 1, Do: ask.MakeFolder, File: "rescued", Journal: "visit/journal.jsonl"},
	ask.GoOnStep{Number: 1, Do: ask.RenameStands, File: "rescued", Journal: "visit/journal.jsonl"},
	ask.GoOnStep{Number: 2, Do: ask.CopyBack, File: "rescued", Journal: "visit/journal.jsonl"},
	ask.StandsOff{Outputs: []string{"Sounder"}},
	ask.NotRescued{Journal: "journal.jsonl", Why: errors.New("why")},

	ask.PhonePaired{Device: "phone"}, ask.PhonePaired{Device: "phone", Onlooker: true}, ask.HeldByPhone{Device: "phone"},
	ask.HeldByTerminal{}, ask.WrongTokens{From: "192.0.2.7"}, ask.WrongCodes{}, ask.PhoneHandedOver{},
	ask.PhoneHandedOver{Back: true}, ask.PhonePageOver{}, ask.PhonePageOver{Paused: true},
	ask.PhonePageOver{Learning: true}, ask.PhonePageOver{Learning: true, Paused: true}, ask.HolderIs{Device: "phone"},
	ask.HolderWanted{}, ask.HolderThis{}, ask.TakeFrom{Device: "phone"}, ask.ReportsNow{State: signal.Tamper},
	ask.StandsSo{Standing: ask.FailedStanding, Verdict: record.Late}, ask.ItemStands{Result: record.Done},
	ask.Progress{Done: 9, All: 23}, ask.Spoken{Point: "3.1", Verdict: record.Proved},
	ask.Spoken{Point: "3.1", Verdict: record.Late},

	ask.ListMatter{Stage: programme.StageInspection, All: 7, Open: 3}, ask.PutRightList{All: 3, Open: 2},
	ask.LooksMatter{Of: "motion", All: 7, Open: 3, LeftOut: 1},
	ask.LooksMatter{Detector: aDetector.Detector, All: 7, Open: 3},
	ask.LookLine{Name: aLine}, ask.LooksHere{Lines: []programme.Name{aLine}}, ask.WithValue{Line: aLine, Value: "none"},
	ask.ValueMatter{Line: aLine}, ask.ValueMatter{Line: aLine, Of: "motion"},
	typed.BoardHead{Site: "Glaze Works", Stage: programme.StageWalkTest, All: 7, Open: 3},
	typed.BoardHead{Site: "Glaze Works", Learnt: &ask.LearningStatus{Zones: 3, Detectors: 4}},
	typed.Tally{N: 2, Standing: ask.FailedStanding},
	typed.AllSettled{Zones: 1, Detectors: 2}, typed.MoreLines{N: 2},
	typed.ItemSo{Result: record.Defect, Remark: "no earth"}, typed.HeldBy{Device: "phone"},
	typed.AddressIs{Address: "https://192.0.2.7:7443/#token"}, typed.FingerprintIs{Fingerprint: "0b:5e"},
	ask.ThingAgain{Address: "z3", Zone: "Windows", Detectors: []string{"Left", "Right"}},
	ask.AddressReports{Address: "z3", State: signal.Active, Raw: `"open"`},
	ask.ZoneReportsAgain{Address: "z3", Zone: "Windows"}, ask.AddressGarbled{Address: "z3", Raw: `"ajar"`},
	ask.Learnt{Zone: "Windows", Detector: "Left", Address: "z3", Kind: "window"},
	ask.Forgotten{Zone: "Windows", Detector: "Left"}, ask.NothingToForget{}, ask.NothingHeard{For: time.Minute},
	ask.LearningStatus{Zones: 3, Detectors: 4},

	typed.OfferHint{
		Option: ask.Option{Word: "+", Label: ask.UsualActionChoice},
	}, typed.RedoHint{Of: aSounder}, typed.MeterShows{Text: "12.7 V"},
	typed.BuildingShows{Text: "yes"}, typed.Example("12.7 V"), typed.Word("yes"), typed.QuantityExample("12.7 V"),
	typed.NoKey{Text: "perhaps", Words: []string{"ready", "skip"}}, refusedFor(ask.NothingTyped),
}

// refusedFor is a refusal with all that any may have.
func refusedFor(why ask.RefusedWhy) ask.Refused {
	_, err := checks.Voltage.Parse("13,7 V")
	r := ask.Refused{Why: why, Text: "1,234", Takes: []string{"1.234", "1234"}, Number: 40}
	if errors.As(err, &r.Quantity) {
		return r
	}
	panic(err)
}

// coded are the types of phrases whose values are codes.
var coded = []ask.Phrase{
	ask.Matter(""),
	ask.Advice(""),
	ask.Choice(""),
	ask.Key(""),
	ask.LearningMatter(""),
	ask.LearningChoice(""),
	ask.Doubt(""),
	ask.PhoneRefusal(""),
	ask.PairMatter(""),
	ask.Standing(""),
	ask.RoomHow(""),
	ask.RoamChoice(""),
	typed.Hint(""),
	record.Stop(""),
	signal.Way(""),
	signal.Timing(""),
	signal.Aspect(""),
}

// phrases are what a room declares: its types that have a code, and the constants of
// each.
func phrases(t *testing.T, dir string) map[string][]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	types, constants := declaredBy(t, files)
	for name := range types {
		types[name] = constants[name]
	}
	return types
}

// constantsOf are the constants of a type that is no phrase itself.
func constantsOf(t *testing.T, file, of string) []string {
	t.Helper()
	_, constants := declaredBy(t, []string{file})
	require.NotEmpty(t, constants[of], of)
	return constants[of]
}

// declaredBy are the types of files that have a code, and the constants of each type.
func declaredBy(t *testing.T, files []string) (types, constants map[string][]string) {
	t.Helper()
	types, constants = map[string][]string{}, map[string][]string{}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		require.NoError(t, err)
		ast.Inspect(parsed, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				if n.Name.Name == "Code" && n.Recv != nil {
					types[n.Recv.List[0].Type.(*ast.Ident).Name] = nil
				}
			case *ast.ValueSpec:
				if of, is := n.Type.(*ast.Ident); is {
					for _, v := range n.Values {
						if l, is := v.(*ast.BasicLit); is && l.Kind == token.STRING {
							text, err := strconv.Unquote(l.Value)
							require.NoError(t, err)
							constants[of.Name] = append(constants[of.Name], text)
						}
					}
				}
			}
			return true
		})
	}
	return types, constants
}

// Asked is everything that a technician may be told or asked; a type without a sample fails.
func Asked(t *testing.T) (all []ask.Phrase) {
	t.Helper()
	samples, codes := map[string]ask.Phrase{}, map[string]ask.Phrase{}
	for _, p := range append(slices.Clone(spoken), spokenOfFaults...) {
		samples[reflect.TypeOf(p).String()] = p
	}
	for _, p := range coded {
		codes[reflect.TypeOf(p).String()] = p
	}
	all = append(slices.Clone(spoken), spokenOfFaults...)
	for _, room := range []string{"../ask", "../ask/typed", "../signal"} {
		for name, constants := range phrases(t, room) {
			full := filepath.Base(room) + "." + name
			if of := codes[full]; of != nil {
				require.NotEmpty(t, constants, full)
				for _, code := range constants {
					v := reflect.New(reflect.TypeOf(of)).Elem()
					v.SetString(code)
					all = append(all, v.Interface().(ask.Phrase))
				}
				continue
			}
			assert.NotNil(t, samples[full], "no sample of %s", full)
		}
	}
	for _, stop := range phrases(t, "../record")["Stop"] {
		all = append(all, record.Stop(stop))
	}
	for _, why := range constantsOf(t, "../ask/refused.go", "RefusedWhy") {
		all = append(all, refusedFor(ask.RefusedWhy(why)))
	}
	return all
}

// What is told depends on its arguments.
func TestArgumentsAreSaid(t *testing.T) {
	english := English{}
	open := programme.Operating{Kind: "door"}
	waiting := ask.TrialStatus{Since: 1500 * time.Millisecond, ListenFor: 15 * time.Second, Limit: 2 * time.Second}
	answered := waiting
	answered.State, answered.After = signal.Active, 400*time.Millisecond
	for want, p := range map[string]ask.Phrase{
		"3.1 proved: reported after 0.72 s, restored after 0.58 s": ask.Proved{
			Point: "3.1", Reported: 720 * time.Millisecond, Restored: 580 * time.Millisecond,
		},
		"meanwhile zone 3, Windows: tamper":       ask.Meanwhile{Zone: &aZone, State: signal.Tamper},
		"meanwhile z9: active":                    ask.Meanwhile{Address: "z9", State: signal.Active},
		"Strobe is on. Was it seen clearly?":      ask.Observed{Output: "Strobe", Seen: true},
		"The list of the inspection: 3 of 7 open": ask.ListMatter{Stage: programme.StageInspection, All: 7, Open: 3},
		"not proved: silent, its turn": ask.StandsSo{Standing: ask.FailedStanding, Verdict: record.Silent,
			Current: true},
		"proved":                  ask.StandsSo{Standing: ask.ProvedStanding, Verdict: record.Proved},
		"no report":               ask.ReportsNow{State: signal.Unknown},
		"not understood: “ajar”":  ask.ReportsNow{State: signal.Active, Garbled: "ajar"},
		"reported, not timed":     ask.StandsSo{Standing: ask.ReportedStanding, Verdict: record.Reported},
		"1 not tested":            typed.Tally{N: 1, Standing: ask.LeftOutStanding},
		"Clay Lane":               typed.BoardHead{Site: "Clay Lane"},
		"NOT APPLICABLE “DEFECT”": typed.ItemSo{Result: record.NotApplicable, Remark: "DEFECT"},
		"Horn (sounder)":          ask.ToEnergise{Output: "Horn", Kind: "sounder"},
		"NOW open the door: 3.1 Left (zone 3, Windows)": ask.Now{Do: open, Step: aDetector},
		"NOW open the door, and listen for Sounder":     ask.Now{Do: open, Step: aSounder, Listen: true},
		"supply: all 7 concluded; take one again":       ask.StageChoice{Stage: programme.StageSupply, All: 7},
		"  1.5 s  of 15 s, limit 2 s":                   waiting,

		"  1.5 s  of 15 s, limit 2 s  active after 0.40 s, watching that it stays": answered,
		"meanwhile z9 reported, which is the address of no zone in the site file":  ask.StrangerMeanwhile{Address: "z9"},
		"Sounder stopped by itself after 21.9 s.": ask.StoppedAfter{Output: "Sounder",
			After: 21937238188},
	} {
		assert.Equal(t, want, english.Say(p))
	}
}
