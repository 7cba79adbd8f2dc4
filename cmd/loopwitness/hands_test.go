//go:build unix

package main

import (
	"fmt"
	"math/rand/v2"
	"net"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/kit/freeaddress"
	"loopwitness/commission/kit/outsidetool"
)

// building is the pottery studio behind a real broker, with somebody in it who operates its
// detectors: its controller reports them.
type building struct {
	t       *testing.T
	dir     string
	address string // of the broker
	client  paho.Client
	page    string // where the page is served
	link    *browser.Link
	last    *notebook   // what the program says
	heard   chan string // what outputs are told: "sounder ON"
	hook    string      // where its controller calls instead, "" for the broker
}

// newBuilding is the demonstration's studio with a hold of a moment, at a broker.
func newBuilding(t *testing.T) *building {
	t.Helper()
	b := &building{t: t, dir: t.TempDir(), address: freeaddress.Of(t), heard: make(chan string, 1000)}
	mosquitto := outsidetool.Find(t, "mosquitto")
	host, port, err := net.SplitHostPort(b.address)
	require.NoError(t, err)
	b.write("mosquitto.conf", fmt.Sprintf("listener %s %s\nallow_anonymous true\n", port, host))
	broker := exec.Command(mosquitto, "-c", filepath.Join(b.dir, "mosquitto.conf"))
	require.NoError(t, broker.Start())
	t.Cleanup(func() { _ = broker.Process.Kill(); _ = broker.Wait() })
	require.Eventually(t, func() bool {
		c, err := net.Dial("tcp", b.address)
		if err == nil {
			_ = c.Close()
		}
		return err == nil
	}, 10*time.Second, 10*time.Millisecond)
	site, err := demoFiles.ReadFile("demo/site.yaml")
	require.NoError(t, err)
	text := string(site)
	for from, to := range map[string]string{"hold: 10 min": "hold: 5 s", "    cut_off: 15 min\n": "",
		`, reused: "yes"}`: "}"} {
		require.Contains(t, text, from)
		text = strings.ReplaceAll(text, from, to)
	}
	b.write("site.yaml", text)
	b.write("controller.yaml", "listen: mqtt\nmqtt:\n  broker: tcp://"+b.address+"\n  signals:\n"+
		"    - {topic: studio/zone/+, address: \"{1}\", active: open, restored: closed}\n  outputs:\n"+
		"    - {address: sounder, topic: studio/out/sounder, on: \"ON\", off: \"OFF\"}\n"+
		"    - {address: strobe, topic: studio/out/strobe, on: \"ON\", off: \"OFF\"}\n"+
		"    - {address: chime, topic: studio/out/chime, on: \"ON\", off: \"OFF\"}\n")
	b.client = paho.NewClient(paho.NewClientOptions().AddBroker("tcp://" + b.address).SetClientID("controller"))
	require.True(t, b.client.Connect().WaitTimeout(10*time.Second))
	b.client.Subscribe("studio/out/+", 1, func(_ paho.Client, m paho.Message) {
		b.heard <- path.Base(m.Topic()) + " " + string(m.Payload())
	}).Wait()
	t.Cleanup(func() { b.client.Disconnect(0) })
	return b
}

func (b *building) write(name, text string) {
	b.t.Helper()
	require.NoError(b.t, os.WriteFile(filepath.Join(b.dir, name), []byte(text), 0o600))
}

// report is a report of the zone of a point: 3.2 is reported as z03.
func (b *building) report(point, state string) {
	b.t.Helper()
	zone, _, _ := strings.Cut(point, ".")
	if b.hook != "" {
		b.call(zone, state)
		return
	}
	token := b.client.Publish(fmt.Sprintf("studio/zone/z%02s", zone), 1, false, state)
	require.True(b.t, token.WaitTimeout(5*time.Second))
}

// attended is the program, which serves a page.
type attended struct {
	t       *testing.T
	cmd     *exec.Cmd
	out     *notebook
	address string // for the technician's phone
}

var pageAddress = regexp.MustCompile(`or type: (https?://[0-9a-z.:\[\]]+/#[A-Za-z0-9_-]+)`)

// serves finds where the page is to be served, once.
func (b *building) serves() {
	b.t.Helper()
	if b.link == nil {
		b.link, b.page = browser.LinkBehind(b.t)
	}
}

// attend starts the program in the building's job, with a page behind a link.
func (b *building) attend(args ...string) *attended {
	b.t.Helper()
	b.serves()
	a := &attended{t: b.t, out: &notebook{}}
	b.last = a.out
	a.cmd = exec.Command(os.Args[0], append(args, "--job", b.dir, "--phone", "--phone-listen", b.page)...)
	a.cmd.Env = append(os.Environ(), runSelf+"=1")
	a.cmd.Stdout, a.cmd.Stderr = a.out, a.out
	keys, err := a.cmd.StdinPipe() // nobody types
	require.NoError(b.t, err)
	require.NoError(b.t, a.cmd.Start())
	b.t.Cleanup(func() { _ = keys.Close(); _ = a.cmd.Process.Kill(); _ = a.cmd.Wait() })
	require.Eventually(b.t, func() bool {
		found := pageAddress.FindStringSubmatch(a.out.String())
		if found != nil {
			a.address = found[1]
		}
		return found != nil
	}, 20*time.Second, 10*time.Millisecond, "no address is told: %s", a.out)
	return a
}

// ends waits until the program is over.
func (a *attended) ends(code int) {
	a.t.Helper()
	done := make(chan error, 1)
	go func() { done <- a.cmd.Wait() }()
	select {
	case <-done:
		require.Equal(a.t, code, a.cmd.ProcessState.ExitCode(), "%s", a.out)
	case <-time.After(20 * time.Second):
		a.t.Fatalf("the program does not end: %s", a.out)
	}
}

// hand is a technician with a phone, alone in the building.
type hand struct {
	*browser.Phone
	t *testing.T
	b *building
	// say are answers by the question's name, the first that matches.
	say []said
	// watch does what a wait asks for instead of what hand does; false for nothing.
	watch func(glance) bool
	done  int             // serial of the talk that was dealt with
	asked []string        // names of all questions and waits
	spent map[string]int  // touches, by the names of what they answered
	open  map[string]bool // detectors, by their points
	wired wired
}

type said struct{ when, text string }

// glance is what the phone shows.
type glance struct {
	Serial                            int
	ID, Takes, Kind, Point, Refused   string
	Danger, Optional, Holds, Customer bool
	Role                              string
	Keys                              []string
}

func (h *hand) glance() glance {
	h.t.Helper()
	return browser.Eval[glance](
		h.Phone,
		`(async () => { const {state} = await import('/state.js'); const t = state.talk ?? {};
		const q = t.question, w = t.watch;
		return {serial: t.serial ?? 0, id: (q ?? w)?.id ?? '', takes: q?.takes.kind ?? '', kind: w ? w.kind || 'other' : '',
			point: w?.point ?? '', refused: state.refused ?? '', danger: Boolean(q?.danger), optional: Boolean(q?.optional),
			holds: Boolean(t.holds), customer: Boolean(q?.takes.customer), role: t.role ?? '',
			keys: (w?.keys ?? []).map((k) => k.key)}; })()`,
	)
}

// answerTo is what the technician answers.
func (h *hand) answerTo(id string) string {
	h.t.Helper()
	for _, s := range h.say {
		if ok, _ := path.Match(s.when, id); ok {
			return s.text
		}
	}
	h.t.Fatalf("what to answer to %s? The phone shows %s", id, h.Text("main"))
	return ""
}

// visit does what the phone asks for until a wait or question has that name, or the visit is over ("").
func (h *hand) visit(until string) {
	h.t.Helper()
	quiet, dealt := time.Now(), time.Now()
	for {
		g := h.glance()
		if g.Refused != "" {
			return
		}
		if ok, _ := path.Match(until, g.ID); ok && until != "" {
			return
		}
		// A touch just after the screen had moved is none: once more.
		touched := g.Takes != "" && g.Takes != "signature"
		before := h.Touches
		if g.ID != "" && g.Serial == h.done && touched && time.Since(dealt) > 2*time.Second {
			h.answer(g)
			h.spend(g.ID, before)
			dealt = time.Now()
			continue
		}
		dealtWith := g.ID != "" && g.Serial != h.done && h.deal(g)
		h.spend(g.ID, before)
		if !dealtWith {
			if time.Since(quiet) > 60*time.Second {
				h.Picture("stuck")
				h.t.Log(h.b.last)
				h.t.Fatalf("nothing goes on at %s; the phone shows %s", g.ID, h.Text("body"))
			}
			time.Sleep(20 * time.Millisecond)
			continue
		}
		quiet, dealt = time.Now(), time.Now()
		h.done = g.Serial
		h.asked = append(h.asked, g.ID)
	}
}

// spend counts the touches since before for a question or wait.
func (h *hand) spend(id string, before int) {
	if h.spent == nil {
		h.spent = map[string]int{}
	}
	h.spent[id] += h.Touches - before
}

// touches are those for questions and waits whose names match any of some patterns.
func (h *hand) touches(patterns ...string) (n int) {
	for id, spent := range h.spent {
		if slices.ContainsFunc(patterns, func(p string) bool { ok, _ := path.Match(p, id); return ok }) {
			n += spent
		}
	}
	return n
}

func (h *hand) deal(g glance) bool {
	h.t.Helper()
	if g.Takes != "" {
		h.answer(g)
		return true
	}
	if h.watch != nil && h.watch(g) {
		return true
	}
	switch {
	case g.ID == "supply/cold-restart/wait":
		time.Sleep(time.Second)
		h.move("1.1", true)
		h.move("1.1", false)
		return true
	case strings.HasPrefix(g.ID, "supply/charging"): // which takes longer than a test
		h.Tap("#key-skip")
		return true
	case slices.Contains(g.Keys, "heard"):
		point := strings.TrimPrefix(strings.Split(g.ID, "/")[2], "zone-")
		if !strings.Contains(point, ".") {
			point += ".1"
		}
		h.move(point, true)
		time.Sleep(500 * time.Millisecond)
		h.Tap("#key-heard")
		h.move(point, false)
		return true
	}
	switch g.Kind {
	case "ready":
		if h.open[g.Point] { // a trial that did not count
			h.move(g.Point, false)
		}
		switch browser.Eval[string](h.Phone, `(async () => { const {state, chosen} = await import('/state.js');
			const {counting} = await import('/count.js');
			const w = state.talk?.watch;
			if (w?.kind !== 'ready') return 'over';
			return chosen.way === 'count' && w.counts ? counting.phase || 'soon' : ''; })()`) {
		case "":
		case "wait": // after anything but a detector that is proved
			h.Tap("#now")
			return false
		default:
			return false // it counts by itself, or has counted
		}
		h.Wait(`document.querySelector('#now') && !document.querySelector('#now').disabled`)
		time.Sleep(400 * time.Millisecond) // who stands there looks first
		h.Tap("#now")
	case "operate":
		time.Sleep(time.Duration(200+rand.IntN(300)) * time.Millisecond)
		h.move(g.Point, true)
	case "restore":
		time.Sleep(time.Duration(200+rand.IntN(300)) * time.Millisecond)
		h.move(g.Point, false)
	default:
		return h.other(g)
	}
	return true
}

// wired is how the building answers where it is not as it should be: "" for nothing, "flutter"
// for chatter, or the point whose zone reports instead.
type wired map[string]string

// move opens a detector, or brings it back to rest.
func (h *hand) move(point string, open bool) {
	h.t.Helper()
	if h.open == nil {
		h.open = map[string]bool{}
	}
	h.open[point] = open
	state := map[bool]string{true: "open", false: "closed"}[open]
	switch fault, is := h.wired[point]; {
	case !is:
		h.b.report(point, state)
	case fault == "flutter":
		for range 4 {
			h.b.report(point, "open")
			h.b.report(point, "closed")
		}
		h.b.report(point, state)
	case fault != "":
		h.b.report(fault, state)
	}
}

// other is any other wait: its name tells what is done.
func (h *hand) other(g glance) bool {
	h.t.Helper()
	for _, s := range h.say {
		if ok, _ := path.Match(s.when, g.ID); ok {
			time.Sleep(400 * time.Millisecond) // who stands there looks first
			switch s.text {
			case "ready":
				h.Tap("#now")
			default:
				h.Tap("#key-" + s.text)
			}
			return true
		}
	}
	return false
}

func (h *hand) answer(g glance) {
	h.t.Helper()
	if strings.HasSuffix(g.ID, "/note") && h.strayed(g.ID) {
		h.Tap("#leave-out, #way-back")
		return
	}
	text := h.answerTo(g.ID)
	if text == now {
		text = time.Now().Format(time.TimeOnly)
	}
	switch {
	case g.Takes == "items" && text == "rest":
		h.Into("#items-end")
		h.Tap("#rest")
	case g.Takes == "one-of", g.Takes == "items", g.Takes == "names", g.Takes == "yes-no" && !g.Danger:
		h.Tap(`[data-word="` + text + `"]`)
	case g.Takes == "signature":
		h.sign()
		h.Tap("#send")
	case text == "" && g.Optional:
		h.Tap("#leave-out")
	case g.Takes == "level":
		h.Fill("#level", text)
		h.Fill("#distance", "1")
		h.Tap("#send")
	default:
		h.Fill("#text", text)
		h.Tap("#send")
	}
}

// strayed tells that a note is asked for that nobody means to give: on a busy computer the screen may move
// just before a touch arrives, which then is for another key of a list. A person goes back.
func (h *hand) strayed(id string) bool {
	return !slices.ContainsFunc(h.say, func(s said) bool { ok, _ := path.Match(s.when, id); return ok })
}

// sign draws a name with a finger.
func (h *hand) sign() {
	h.t.Helper()
	h.Draw("canvas", browser.Point{X: .1, Y: .7}, browser.Point{X: .15, Y: .2}, browser.Point{X: .2, Y: .8},
		browser.Point{X: .3, Y: .3}, browser.Point{X: .35, Y: .7}, browser.Point{X: .45, Y: .4}, browser.Point{X: .5, Y: .6})
	h.Draw("canvas", browser.Point{X: .55, Y: .6}, browser.Point{X: .6, Y: .3}, browser.Point{X: .7, Y: .7},
		browser.Point{X: .8, Y: .35}, browser.Point{X: .9, Y: .55})
}

// now is an answer that is the time of day.
const now = "now"

// usual are the answers of a visit in which all is well.
var usual = []said{
	{"list/*", "rest"}, {"list/*/*", "rest"}, {"list/*/*/tester", "hand-held tone tester"}, {"*/*/value", "as agreed"},
	{"alarm", "begin"}, {"alarm/*/begin", "begun"}, {"alarm/*/set", "set"}, {"alarm/*/open", "opened"},
	{"alarm/*/detector", "1.1"}, {"alarm/*/operate", "opened"}, {"alarm/*/Sounder", "sounds"},
	{"alarm/*/Strobe", "flashes"}, {"alarm/*/unset", "unset"}, {"alarm/*/at-rest", "at-rest"},
	{"alarm/*/clock", "ready"}, {"alarm/*/clock-said", now}, {"alarm/*/received", now}, {"alarm/*/reference", ""},
	{"*/*/reason", "no time for it"}, {"walk/*/not-proved", "as it is"}, {"walk-test/roam/no-reports", "not yet"},
	{"walk/*/no-report", "not yet"}, {"walk/*/still-open", "not yet"}, {"inspection/*", "done"},
	{"hand-over/*", "done"},
	{"supply/voltmeter", "bench multimeter, serial 0417"}, {"supply/voltmeter/calibrated", "2027-03-01"},
	{"supply/voltmeter/uncertainty", "50 mV"}, {"supply/charged", "yes"},
	{"supply/mains-present/voltage", "13.68"}, {"supply/mains-back/voltage", "13.6"}, {"supply/charging/voltage", "13.62"},
	{"supply/standby-current/current", "305 mA"}, {"supply/alarm-current/current", "770 mA"},
	{"supply/standby-*/voltage", "12.6"}, {"supply/alarm-load/voltage", "12.1"}, {"supply/far-voltage/voltage", "12.3"},
	{"supply/*/voltage", "12.6"}, {"supply/alarm-load", "energise"}, {"*/energise", "yes"}, {"*/*/energise", "yes"},
	{"supply/path", "yes"}, {"supply/cold-restart/ready", "ready"}, {"supply/cold-restart", "restart"},
	{"supply/*-fault", "at the controller"}, {"supply/battery-*", "done"}, {"supply/mains-*", "done"},
	{"outputs/Sounder/heard", "yes"}, {"outputs/Sounder/level", "109"}, {"outputs/Sounder/current", "340 mA"},
	{"outputs/*/cut-off", ""}, {"outputs/*/until-stopped", "no"}, {"outputs/Strobe/seen", "yes"},
	{"outputs/Strobe/current", "115 mA"}, {"outputs/Chime/*/ready", "ready"}, {"outputs/Chime/*", "heard"},
	{"outputs/*", "energise"},
	{"undertaking/F1/what", "-"},
	{"sign-off/technician/name", "Ignace Brûlé"}, {"sign-off/technician/licence", "T-0881"},
	{"sign-off/*/drawing", "drawn"}, {"sign-off/technician", "sign"},
	{"sign-off/customer/name", "Ottoline Marsh-Tanaka"}, {"sign-off/customer/position", "owner"},
	{"sign-off/customer", "accept"},
}

// walksPast operates a detector and lets it go back, unasked.
func (h *hand) walksPast(point string) {
	h.t.Helper()
	h.move(point, true)
	time.Sleep(300 * time.Millisecond)
	h.move(point, false)
}

// reply answers a question once it stands.
func (h *hand) reply(id, text string) {
	h.t.Helper()
	require.Eventually(h.t, func() bool { return h.glance().ID == id }, 20*time.Second, 20*time.Millisecond,
		"%s is not asked; the phone shows %s", id, h.Text("main"))
	h.Tap(`[data-word="` + text + `"]`)
	require.Eventually(h.t, func() bool { return h.glance().ID != id }, 20*time.Second, 20*time.Millisecond)
}

// press touches a key of the wait that stands, once more where that was no touch: what is told in the
// same moment may have moved it.
func (h *hand) press(selector string) {
	h.t.Helper()
	stood := h.glance().Serial
	for range 5 {
		h.Tap(selector)
		for range 100 {
			if h.glance().Serial != stood {
				return
			}
			time.Sleep(20 * time.Millisecond)
		}
	}
	h.t.Fatalf("%s does nothing; the phone shows %s", selector, h.Text("main"))
}

// comes waits for a question or a wait.
func (h *hand) comes(id string) {
	h.t.Helper()
	require.Eventually(h.t, func() bool { return h.glance().ID == id }, 40*time.Second, 20*time.Millisecond,
		"%s does not come; the phone shows %s", id, h.Text("main"))
}

// credited waits until the board shows a detector as proved or reported.
func (h *hand) credited(point string) {
	h.t.Helper()
	require.Eventually(h.t, func() bool {
		return slices.Contains([]string{"proved", "reported"}, h.standing(point))
	}, 30*time.Second, 50*time.Millisecond, "%s is not credited; the phone shows %s", point, h.Text("main"))
}

// standing is how a detector stands on the board.
func (h *hand) standing(point string) string {
	h.t.Helper()
	return browser.Eval[string](h.Phone,
		`(async () => (await import('/state.js')).detector('`+point+`')?.standing ?? '')()`)
}

// aim chooses a detector on the board.
func (h *hand) aim(point string) {
	h.t.Helper()
	h.Tap("#tab-board")
	h.Tap(`[data-point="` + point + `"]`)
	time.Sleep(400 * time.Millisecond)
}

// sealed certifies the last visit of the building, verifies the certificate, and tells where it
// is. Where a folder for pictures is given, a copy is put there.
func (b *building) sealed(code int) string {
	b.t.Helper()
	passphrase := []string{passphraseVariable + "=tall blue vase"}
	for _, args := range [][]string{{"key", "new", "--name", "Bellbird", "--key", "k.p12"},
		{"certify", "--job", b.dir, "--key", "k.p12"}} {
		out, errs, ended := at(b.t, b.dir, passphrase, args...)
		want := 0
		if args[0] == "certify" {
			want = code
		}
		require.Equal(b.t, want, ended, "%v: %s%s", args, out, errs)
	}
	files, err := filepath.Glob(filepath.Join(b.dir, "certificates", "*.pdf"))
	require.NoError(b.t, err)
	require.Len(b.t, files, 1)
	out, errs, ended := at(b.t, b.dir, nil, "verify", files[0])
	require.Zero(b.t, ended, "%s%s", out, errs)
	if folder := os.Getenv("LOOPWITNESS_PICTURES"); folder != "" {
		data, err := os.ReadFile(files[0])
		require.NoError(b.t, err)
		require.NoError(b.t, os.WriteFile(filepath.Join(folder, b.t.Name()+".pdf"), data, 0o644))
	}
	return files[0]
}
