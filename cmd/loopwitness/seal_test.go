package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/outsidetool"
	"loopwitness/report/identity"
)

// at runs the program in a folder with further environment, and returns what it
// printed and its exit code.
func at(t testing.TB, dir string, env []string, args ...string) (out, errs string, code int) {
	t.Helper()
	cmd := exec.Command(os.Args[0], args...)
	cmd.Dir = dir
	cmd.Env = append(
		append(os.Environ(), runSelf+"=1", "HOME="+dir, "XDG_CONFIG_HOME="+filepath.Join(dir, "config"), "AppData="+dir),
		env...)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	err := cmd.Run()
	var exit *exec.ExitError
	if !errors.As(err, &exit) {
		require.NoError(t, err)
	}
	return stdout.String(), stderr.String(), cmd.ProcessState.ExitCode()
}

// The exit code tells what came of a check: 0 intact, 1 something fails, 2 not wholly checked.
func TestVerifyExitCodes(t *testing.T) {
	dir := t.TempDir()
	_, errs, code := at(t, dir, nil, "demo")
	require.Zero(t, code, errs)
	found, err := filepath.Glob(filepath.Join(dir, "loopwitness-demo", "certificates", "*-handover-*.pdf"))
	require.NoError(t, err)
	require.Len(t, found, 1)
	file, err := os.ReadFile(found[0])
	require.NoError(t, err)
	changed := bytes.Replace(file, []byte("/T <5365616c>"), []byte("/T <5365616d>"), 1)
	require.NotEqual(t, file, changed)
	put := func(name string, content []byte) string {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), content, 0o644))
		return name
	}
	good, bad, rubbish := put("good.pdf", file), put("bad.pdf", changed), put("rubbish.pdf", []byte("rubbish"))
	for _, test := range []struct {
		args []string
		want int
	}{
		{[]string{"verify", good}, 0},
		{[]string{"verify", bad}, 1},
		{[]string{"verify", rubbish}, 2},
		{[]string{"verify", "gone.pdf"}, 2},
		{[]string{"verify", "--trust", "gone.pem", good}, 2},
		{[]string{"verify", good, rubbish}, 2},
		{[]string{"verify", good, bad, rubbish}, 1},
		{[]string{"verify", "--json", bad}, 1},
		{[]string{"record", good}, 0},
		{[]string{"record", bad}, 1},
		{[]string{"record", rubbish}, 2},
	} {
		_, _, code := at(t, dir, nil, test.args...)
		assert.Equal(t, test.want, code, "%v", test.args)
	}
}

// A passphrase comes from a file descriptor, too.
func TestPassphraseFromFileDescriptor(t *testing.T) {
	sh := outsidetool.Find(t, "sh")
	dir := t.TempDir()
	_, errs, code := at(t, dir, []string{passphraseVariable + "=tall blue vase"}, "key", "new", "--name", "x",
		"--key", "k.p12")
	require.Zero(t, code, errs)
	script := fmt.Sprintf("echo 'tall blue vase' | %[1]q key show --key k.p12 --passphrase-fd 0 &&"+
		" %[1]q key show --key k.p12 --passphrase-fd 3 3<words", os.Args[0])
	cmd := exec.Command(sh, "-c", script)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "words"), []byte("tall blue vase\nanother line\n"), 0o600))
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), runSelf+"=1", "HOME="+dir, "XDG_CONFIG_HOME="+dir)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Equal(t, 2, strings.Count(string(out), "Fingerprint"))
	assert.NotContains(t, string(out), "vase")
}

// No secret of controller.yaml, and not the passphrase, ever gets into the journal, the
// certificate, what is printed, or an error, whatever goes wrong.
func TestSecretsAreNeverWritten(t *testing.T) {
	qpdf := outsidetool.Find(t, "qpdf")
	const passphrase, password, user = "tall-blue-vase-3141", "kiln-broker-secret-2718", "glazer-user-1618"
	dir := t.TempDir()
	env := []string{passphraseVariable + "=" + passphrase}
	_, errs, code := at(t, dir, env, "demo", "--job", "job")
	require.Zero(t, code, errs)
	simulated, err := os.ReadFile(filepath.Join(dir, "job", "controller.yaml"))
	require.NoError(t, err)

	var printed strings.Builder
	run := func(args ...string) {
		out, errs, _ := at(t, dir, env, args...)
		printed.WriteString(out + errs)
	}
	controller := func(content string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, "job", "controller.yaml"), []byte(content), 0o600))
	}
	run("key", "new", "--name", "Bellbird")
	mqtt := fmt.Sprintf("mqtt:\n  url: tcp://127.0.0.1:1\n  user: %s\n  password: %s\n", user, password)
	for _, content := range []string{
		mqtt + "  topic: site/{address}\n",
		mqtt + "  nonsense: " + password + "\n",
		strings.Replace(mqtt, "tcp://", "nonsense://", 1),
		"mqtt: [" + password + "\n",
		"mqtt:\n  url: tcp://" + user + ":" + password + "@127.0.0.1:1\n",
		password,
	} {
		controller(content)
		run("visit", "start", "--job", "job", "--kind", "maintenance", "--answers", "job/site.yaml")
		run("visit", "start", "--job", "job", "--kind", "maintenance")
		run("visit", "resume", "--job", "job")
		run("site", "check", "--job", "job")
	}
	controller(string(simulated))
	run("certify", "--job", "job")
	run("certify", "--job", "job", "--key", "job/site.yaml")
	run("certify", "--job", "job", "--timestamp", "http://127.0.0.1:1")
	run("key", "import", "job/site.yaml")
	run("key", "show")
	run("verify", "job/certificates")

	require.Contains(t, printed.String(), "controller.yaml:", "its errors are looked through as well")
	secrets := []string{passphrase, password, user}
	for _, s := range secrets {
		assert.NotContains(t, printed.String(), s)
	}
	searched := map[string]int{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Base(path) == "controller.yaml" {
			return err
		}
		content, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if filepath.Ext(path) == ".pdf" { // unpacked, as a reader sees it
			plain := path + ".plain"
			if out, err := exec.Command(qpdf, "--qdf", "--stream-data=uncompress", path, plain).CombinedOutput(); err != nil {
				return fmt.Errorf("%w: %s", err, out)
			}
			unpacked, err := os.ReadFile(plain)
			if err != nil {
				return err
			}
			require.Contains(t, string(unpacked), `"kind":"opened"`, "the journal is looked through as well")
			content = append(content, unpacked...)
		}
		searched[filepath.Ext(path)]++
		for _, s := range secrets {
			assert.NotContains(t, string(content), s, path)
		}
		return nil
	}))
	assert.Positive(t, searched[".pdf"])
	assert.Positive(t, searched[".jsonl"])
	assert.Positive(t, searched[".p12"])
}

// The way of a company: a request, the certificate of its authority in the place of the
// self-signed one, the same key.
func TestCertificateOfAnAuthorityIsAdopted(t *testing.T) {
	openssl := outsidetool.Find(t, "openssl")
	dir := t.TempDir()
	env := []string{passphraseVariable + "=tall blue vase"}
	run := func(args ...string) string {
		out, errs, code := at(t, dir, env, args...)
		require.Zero(t, code, errs)
		return out
	}
	outside := func(args ...string) {
		cmd := exec.Command(openssl, args...)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, string(out))
	}
	run("key", "new", "--name", "Bellbird")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "request.pem"), []byte(run("key", "request")), 0o644))
	outside("req", "-x509", "-newkey", "rsa:2048", "-nodes", "-keyout", "ca.key", "-out", "ca.pem", "-subj",
		"/CN=Guild", "-days", "30")
	outside("x509", "-req", "-in", "request.pem", "-CA", "ca.pem", "-CAkey", "ca.key", "-CAcreateserial", "-out",
		"issued.pem", "-days", "30")
	assert.Contains(t, run("key", "import", "issued.pem"), "The fingerprint has changed with the certificate")
	assert.Contains(t, run("key", "show"), "CN=Guild", "it was stored")
	run("demo", "--job", "job")
	run("certify", "--job", "job")
	out, _, code := at(t, dir, nil, "verify", "--trust", "ca.pem", "job/certificates")
	assert.Equal(t, 1, code, "the demonstration's own certificate is by a stranger")
	assert.Contains(t, out, "trusted: issued by a trusted authority, Guild")
	assert.Contains(t, out, "NOT BY ANYBODY YOU TRUST")
}

// A key whose certificate has ended signs nothing.
func TestExpiredKeySignsNothing(t *testing.T) {
	dir := t.TempDir()
	id, err := identity.New(identity.Subject{Name: "x"}, time.Now().AddDate(-3, 0, 0), 1)
	require.NoError(t, err)
	require.NoError(t, identity.Save(filepath.Join(dir, "old.p12"), id, "tall blue vase"))
	env := []string{passphraseVariable + "=tall blue vase"}
	_, _, code := at(t, dir, env, "demo", "--job", "job")
	require.Zero(t, code)
	_, errs, code := at(t, dir, env, "certify", "--job", "job", "--key", "old.p12")
	assert.Equal(t, 2, code)
	assert.Contains(t, errs, "the key's certificate is valid from")
	found, err := filepath.Glob(filepath.Join(dir, "job", "certificates", "*.pdf"))
	require.NoError(t, err)
	assert.Len(t, found, 2, "the demonstration's own")
}

// A key that cannot be reached is no reason to go on without it.
func TestUnreachableKeyIsTold(t *testing.T) {
	dir := t.TempDir()
	_, _, code := at(t, dir, nil, "demo", "--job", "job")
	require.Zero(t, code)
	_, errs, code := at(t, dir, nil, "certify", "--job", "job", "--key", "job/site.yaml/key.p12")
	assert.Equal(t, 2, code)
	assert.Contains(t, errs, "the key cannot be reached")
}

// Of a folder all PDFs are checked, and nothing else; a fingerprint finds those that it
// fits.
func TestFoldersAndFingerprints(t *testing.T) {
	dir := t.TempDir()
	_, errs, code := at(t, dir, nil, "demo", "--job", "job")
	require.Zero(t, code, errs)
	require.NoError(t,
		os.WriteFile(filepath.Join(dir, "job", "certificates", "notes.txt"), []byte("no certificate"), 0o644))
	out, _, code := at(t, dir, nil, "verify", "job")
	assert.Zero(t, code)
	assert.Contains(t, out, "2 files: 2 intact, 0 fail, 0 not wholly checked")
	record := regexp.MustCompile(`Journal +((?:[0-9a-f]{4} ?){16})`).FindAllStringSubmatch(out, -1)
	require.Len(t, record, 2)
	out, _, code = at(t, dir, nil, "verify", "--fingerprint", record[1][1][:19], "job")
	assert.Zero(t, code)
	assert.Contains(t, out, "The fingerprint fits 1 of 2 files")
	assert.Contains(t, out, "that of this record (16 of its 64 digits, enough to find it,")
	assert.NotContains(t, out, record[0][1])
	key := regexp.MustCompile(`Key +((?:[0-9a-f]{4} ?){16})`).FindStringSubmatch(out)
	out, _, code = at(t, dir, nil, "verify", "--fingerprint", key[1], "job")
	assert.Zero(t, code)
	assert.Contains(t, out, "its key is the one whose fingerprint was given")
	assert.Contains(t, out, "intact since somebody you trust signed it")
}

// What a file says never reaches the terminal as it is.
func TestNothingHostileReachesTheTerminal(t *testing.T) {
	dir := t.TempDir()
	name := "evil\x1b]0;owned\x07\u202e\u009b31m.pdf"
	require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte("%PDF-1.7\n"), 0o644))
	for _, args := range [][]string{{"verify", name}, {"verify", "--json", name}, {"record", name}} {
		out, errs, code := at(t, dir, nil, args...)
		assert.Equal(t, 2, code)
		for _, bad := range []string{"\x1b", "\x07", "\u202e", "\u009b"} {
			assert.NotContains(t, out+errs, bad, "%v", args)
		}
	}
}
