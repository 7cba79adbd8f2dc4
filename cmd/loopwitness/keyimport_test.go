package main

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"software.sslmate.com/src/go-pkcs12"

	"loopwitness/report/identity"
	"loopwitness/report/stamp/authority"
)

// companyKey is a key that another program stored under a passphrase, weakly.
func companyKey(t testing.TB, path, passphrase string) {
	t.Helper()
	id, err := identity.New(identity.Subject{Name: "Guild"}, time.Now(), 1)
	require.NoError(t, err)
	file, err := pkcs12.Modern2023.Encode(id.Signer, id.Certificate, nil, passphrase)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, file, 0o600))
}

// An imported key is held to the standard of a new one: no empty passphrase and none of one
// letter, and as many iterations.
func TestImportedKeysAreHeldToTheStandard(t *testing.T) {
	for _, short := range []string{"x", "nine char"} {
		dir := t.TempDir()
		companyKey(t, filepath.Join(dir, "company.p12"), short)
		_, errs, code := at(t, dir, []string{passphraseVariable + "=" + short}, "key", "import", "company.p12", "--key",
			"own.p12")
		assert.Equal(t, 2, code)
		assert.Contains(t, errs, "at least 10 characters")
		assert.Contains(t, errs, "nothing was stored")
		assert.NoFileExists(t, filepath.Join(dir, "own.p12"))
	}
	dir := t.TempDir()
	companyKey(t, filepath.Join(dir, "company.p12"), "tall blue vase")
	env := []string{passphraseVariable + "=tall blue vase"}
	_, errs, code := at(t, dir, env, "key", "import", "company.p12", "--key", "own.p12")
	require.Zero(t, code, errs)
	stored, err := os.ReadFile(filepath.Join(dir, "own.p12"))
	require.NoError(t, err)
	assert.Equal(t, identity.OwnIterations, identity.Iterations(stored))

	// Used as it is, it is told.
	_, errs, code = at(t, dir, env, "key", "request", "--key", "company.p12")
	require.Zero(t, code)
	assert.Contains(t, errs, "company.p12 is protected by 2048 iterations only")
	_, errs, _ = at(t, dir, env, "key", "request", "--key", "own.p12")
	assert.Empty(t, errs)
}

func TestAKeyThatOthersMayWriteDrawsAWarning(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("modes are another matter there")
	}
	dir := t.TempDir()
	env := []string{passphraseVariable + "=tall blue vase"}
	_, errs, code := at(t, dir, env, "key", "new", "--name", "Bellbird", "--key", "own.p12")
	require.Zero(t, code, errs)
	require.NoError(t, os.Chmod(filepath.Join(dir, "own.p12"), 0o666))
	out, errs, code := at(t, dir, env, "key", "request", "--key", "own.p12")
	require.Zero(t, code)
	assert.Contains(t, errs, "Caution: others than you may read and write own.p12")
	assert.NotContains(t, out, "Caution", "what is asked for may go to a file")
}

// Whom somebody named to confirm the time, and who does not, changes the exit code.
func TestTrustTimeChangesTheExitCode(t *testing.T) {
	dir := t.TempDir()
	env := []string{passphraseVariable + "=tall blue vase"}
	run := func(code int, args ...string) string {
		out, errs, got := at(t, dir, env, args...)
		require.Equal(t, code, got, "%v: %s%s", args, out, errs)
		return out
	}
	a := authority.New("Guild of clocks", authority.Usage(true, authority.ForStamps))
	server := a.Server()
	defer server.Close()
	root := identity.Identity{Certificate: a.Root}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "clocks.pem"), root.PEM(), 0o644))
	run(0, "key", "new", "--name", "Bellbird", "--key", "own.p12")
	run(0, "demo", "--job", "job")
	out := run(1, "verify", "--trust-time", "clocks.pem", "job/certificates")
	assert.Contains(t, out, "TIME NOT CONFIRMED by anybody you named")
	assert.Contains(t, out, "no time stamp confirms when it was signed")
	run(0, "verify", "job/certificates")
	require.NoError(t, os.RemoveAll(filepath.Join(dir, "job", "certificates")))

	out = run(0, "certify", "--job", "job", "--key", "own.p12", "--timestamp", server.URL)
	assert.Contains(t, out, "has confirmed the time of signing")
	out = run(0, "verify", "--trust-time", "clocks.pem", "job/certificates")
	assert.Contains(t, out, "confirmed by the time stamp of Guild of clocks")

	bare := *a // one that serves is not changed
	bare.NoCertificate = true
	without := bare.Server()
	defer without.Close()
	out = run(0, "certify", "--job", "job", "--key", "own.p12", "--timestamp", without.URL)
	assert.Contains(t, out, "Sealed WITHOUT a time stamp")
	assert.Contains(t, out, "its time stamp does not")
	run(0, "verify", "job/certificates")
	run(1, "verify", "--trust-time", "clocks.pem", "job/certificates")
}
