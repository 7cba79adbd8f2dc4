package main

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"encoding/hex"
	"encoding/json"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/phone"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/freeaddress"
)

// pocket is a phone, and the program that it holds a visit with.
type pocket struct {
	t       *testing.T
	dir     string
	program *exec.Cmd
	out     notepad
	in      io.WriteCloser
	client  *http.Client
	base    string
	seen    [32]byte // SHA-256 of the certificate
}

// notepad is what the program has said, read meanwhile.
type notepad struct {
	lines chan string
	all   strings.Builder
}

// run begins the program; it goes on with a visit, or begins one.
func (p *pocket) run(arguments ...string) {
	p.t.Helper()
	p.program = exec.Command(os.Args[0], append(arguments, "--job", p.dir)...)
	p.program.Env = append(os.Environ(), runSelf+"=1")
	r, w := io.Pipe()
	p.program.Stdout, p.program.Stderr = w, w
	in, err := p.program.StdinPipe()
	require.NoError(p.t, err)
	p.in = in
	lines := make(chan string, 1000)
	p.out = notepad{lines: lines}
	require.NoError(p.t, p.program.Start())
	go func() {
		for s := bufio.NewScanner(r); s.Scan(); {
			lines <- s.Text()
		}
		close(lines)
	}()
	program := p.program
	p.t.Cleanup(func() { _ = program.Process.Kill(); _ = program.Wait(); _ = w.Close() })
}

// until reads what is said up to a line that holds a text.
func (p *pocket) until(text string) {
	p.t.Helper()
	late := time.After(30 * time.Second)
	for {
		select {
		case l, open := <-p.out.lines:
			require.True(p.t, open, "%q was not said, but:\n%s", text, &p.out.all)
			p.out.all.WriteString(l + "\n")
			if strings.Contains(l, text) {
				return
			}
		case <-late:
			p.t.Fatalf("%q was not said, but:\n%s", text, &p.out.all)
		}
	}
}

// said are the addresses that were printed, without what stands behind the #, and that.
func (p *pocket) said() (base string, tokens []string) {
	for _, m := range regexp.MustCompile(`(https?://[0-9.:]+/)#(\S{22})`).FindAllStringSubmatch(p.out.all.String(), -1) {
		base, tokens = m[1], append(tokens, m[2])
	}
	return base, tokens
}

// post sends something and returns the status and what came of it.
func (p *pocket) post(path string, body, into any) int {
	p.t.Helper()
	data, err := json.Marshal(body)
	require.NoError(p.t, err)
	answer, err := p.client.Post(p.base+path, "application/json", bytes.NewReader(data))
	require.NoError(p.t, err)
	defer answer.Body.Close()
	if into != nil {
		require.NoError(p.t, json.NewDecoder(answer.Body).Decode(into))
	}
	return answer.StatusCode
}

// talk is what stands once it holds something to answer, by a stream of its own.
func (p *pocket) talk() (talk phone.Talk) {
	p.t.Helper()
	answer, err := p.client.Get(p.base + "events")
	require.NoError(p.t, err)
	defer answer.Body.Close()
	require.Equal(p.t, http.StatusOK, answer.StatusCode)
	name := ""
	for s := bufio.NewScanner(answer.Body); s.Scan(); {
		switch field, value, _ := strings.Cut(s.Text(), ": "); {
		case field == "event":
			name = value
		case field == "data" && name == phone.EventTalk:
			talk = phone.Talk{}
			require.NoError(p.t, json.Unmarshal([]byte(value), &talk))
			if talk.Question != nil || talk.Watch != nil {
				return talk
			}
		}
	}
	p.t.Fatal("nothing is asked")
	return talk
}

func newPocket(t *testing.T) *pocket {
	p := &pocket{t: t, dir: t.TempDir()}
	for _, name := range []string{"site.yaml", "controller.yaml"} {
		data, err := demoFiles.ReadFile("demo/" + name)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(p.dir, name), data, 0o600))
	}
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	p.client = &http.Client{Jar: jar, Transport: &http.Transport{DisableKeepAlives: true, TLSClientConfig: &tls.Config{
		InsecureSkipVerify: true, // compared here as a person compares it
		VerifyPeerCertificate: func(raw [][]byte, _ [][]*x509.Certificate) error {
			p.seen = sha256.Sum256(raw[0])
			return nil
		}}}}
	return p
}

// pair is the phone that takes a picture of the code.
func (p *pocket) pair(role phone.Role) {
	p.t.Helper()
	const below = "take-back (t)" // the code and its address; they are printed beside the visit
	if !strings.Contains(p.out.all.String(), below) {
		p.until(below)
	}
	var tokens []string
	p.base, tokens = p.said()
	require.NotEmpty(p.t, tokens, p.out.all.String())
	for _, token := range tokens {
		var paired phone.Paired
		require.Equal(p.t, http.StatusOK, p.post("pair", phone.Pair{Token: token, Device: "a test's phone"}, &paired))
		if paired.Role == role {
			return
		}
	}
	p.t.Fatalf("no address is for a %s", role)
}

// A visit is held on a phone: by the address and the certificate that are printed; killed
// in the middle it goes on with the same phone, and when it is paused the page is off.
func TestAVisitOnAPhone(t *testing.T) {
	p := newPocket(t)
	p.run("visit", "start", "--kind", "handover", "--phone", "--phone-listen", freeaddress.Of(t))
	p.until("== CABLES ==")
	p.pair(phone.Technician)
	fingerprint := strings.ReplaceAll(p.out.all.String(), " ", "")
	assert.Contains(t, strings.ReplaceAll(fingerprint, "\n", ""), strings.ToUpper(hex.EncodeToString(p.seen[:])))
	talk := p.talk()
	require.NotNil(t, talk.Question)
	assert.True(t, talk.Holds)
	assert.True(t, talk.Simulated)
	first, certificate := talk.Question.ID, p.seen

	require.NoError(t, p.program.Process.Kill())
	_ = p.program.Wait()
	address, err := url.Parse(p.base)
	require.NoError(t, err)
	p.run("visit", "resume", "--phone", "--phone-listen", address.Host)
	p.until("goes on.")
	talk = p.talk()
	assert.Equal(t, first, talk.Question.ID, "the same phone, at the same question, without pairing again")
	assert.True(t, talk.Holds)
	assert.Equal(t, certificate, p.seen, "which knows the page again")
	var taken phone.Taken
	p.post("answer", phone.Reply{Key: "1", Serial: talk.Serial, Text: "leave"}, &taken)
	require.True(t, taken.OK, taken.Refused)
	talk = p.talk()
	assert.NotEqual(t, first, talk.Question.ID)
	p.post("press", phone.Touched{Key: "2", Serial: talk.Serial, Press: "interrupted"}, &taken)
	require.True(t, taken.OK, taken.Refused)
	p.until("Paused; nothing is lost.")
	require.Error(t, p.program.Wait(), "not finished")
	_, err = p.client.Get(p.base)
	assert.Error(t, err, "the page is off")

	journals, err := filepath.Glob(filepath.Join(p.dir, "visits", "*", "journal.jsonl"))
	require.NoError(t, err)
	require.Len(t, journals, 1)
	if runtime.GOOS != "windows" {
		for _, name := range []string{"phone.pem", "phones.json"} {
			info, err := os.Stat(filepath.Join(p.dir, name))
			require.NoError(t, err)
			assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), name)
		}
	}
	phones, err := job.At(p.dir).Phones()
	require.NoError(t, err)
	for _, c := range p.client.Jar.Cookies(address) {
		assert.NotContains(t, string(phones), c.Value, "no cookie is kept")
	}
}

// Without encryption it says what is lost; who looks on is asked nothing.
func TestAVisitOnAPhoneWithoutEncryption(t *testing.T) {
	p := newPocket(t)
	p.run("visit", "start", "--kind", "handover", "--phone", "--phone-http", "--phone-listen", freeaddress.Of(t))
	p.until("== CABLES ==")
	assert.Contains(t, p.out.all.String(), "Without encryption")
	assert.NotContains(t, p.out.all.String(), "SHA-256")
	p.pair(phone.Onlooker)
	assert.Equal(t, http.StatusForbidden, p.post("hold", phone.Hold{Key: "1", Sure: true}, nil))
	assert.NoFileExists(t, filepath.Join(p.dir, "phone.pem"))
	require.NoError(t, p.program.Process.Kill())
}

// What does not go together is refused before anything is begun.
func TestPhoneFlags(t *testing.T) {
	p := newPocket(t)
	for want, flags := range map[string][]string{
		"exclude each other":              {"--phone", "--answers", "answers.yaml"},
		"go with --phone":                 {"--phone-http"},
		"--phone-http and --phone-listen": {"--phone-listen", "192.0.2.1"},
		"is no address":                   {"--phone", "--phone-listen", "kitchen"},
		"on one network, by its own":      {"--phone", "--phone-listen", "0.0.0.0"},
		"name another address":            {"--phone", "--phone-listen", "192.0.2.1"},
	} {
		p.run(append([]string{"visit", "start", "--kind", "handover"}, flags...)...)
		p.until(want)
		assert.Error(t, p.program.Wait())
		journals, err := filepath.Glob(filepath.Join(p.dir, "visits", "*", "journal.jsonl"))
		require.NoError(t, err)
		assert.Empty(t, journals, want)
	}
}
