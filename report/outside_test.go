package report_test

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"wreckwright/prove/buildfile"
	"wreckwright/report"
)

// unpacked writes a ZIP out with the library's reader, which knows nothing of how
// it was written.
func unpacked(t testing.TB, content []byte) string {
	t.Helper()
	r, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, f := range r.File {
		from, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(from)
		if err != nil {
			t.Fatal(err)
		}
		to := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(to), 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(to, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// tool runs a program that has nothing to do with this one; it is skipped where
// the machine lacks it, unless the tests' needs were installed.
func tool(t *testing.T, dir, name string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is not installed: scripts/install-test-needs.sh does that", name)
		}
		t.Skipf("%s is not installed: scripts/install-test-needs.sh does that", name)
	}
	command := exec.Command(path, args...)
	command.Dir = dir
	out, err := command.CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return string(out)
}

// TestOtherToolsAgree: sha256sum finds the sums right, openssl the signature,
// Python the ZIP, poppler the PDF.
func TestOtherToolsAgree(t *testing.T) {
	g := filled(t)
	content := g.make(g.options(buildfile.Full))
	dir := unpacked(t, content)
	t.Run("sha256sum", func(t *testing.T) {
		out := tool(t, dir, "sha256sum", "--strict", "-c", buildfile.SumsName)
		if n := strings.Count(out, ": OK"); n < 12 {
			t.Errorf("%d files\n%s", n, out)
		}
	})
	t.Run("openssl", func(t *testing.T) {
		out := tool(t, dir, "openssl", "pkeyutl", "-verify", "-pubin", "-inkey", buildfile.KeyName, "-rawin", "-in", buildfile.ManifestName, "-sigfile", buildfile.SignatureName)
		if !strings.Contains(out, "Signature Verified Successfully") {
			t.Error(out)
		}
	})
	t.Run("python", func(t *testing.T) {
		if err := os.WriteFile(filepath.Join(dir, "all.zip"), content, 0o600); err != nil {
			t.Fatal(err)
		}
		out := tool(t, dir, "python3", "-c", "import zipfile; z = zipfile.ZipFile('all.zip'); print(z.testzip(), len(z.namelist()))")
		if !strings.HasPrefix(out, "None ") {
			t.Error(out)
		}
	})
	t.Run("pdfinfo", func(t *testing.T) {
		out := tool(t, dir, "pdfinfo", buildfile.PDFName)
		if !strings.Contains(out, "Skua of the yard – build file") || !strings.Contains(out, "A4") || pages(out) < 5 {
			t.Error(out)
		}
	})
	t.Run("pdftotext", func(t *testing.T) { paperTells(t, dir) })
}

func pages(info string) int {
	_, after, _ := strings.Cut(info, "Pages:")
	n := 0
	for _, c := range strings.TrimSpace(strings.SplitN(after, "\n", 2)[0]) {
		n = 10*n + int(c-'0')
	}
	return n
}

// paperTells looks for what the paper must say.
func paperTells(t *testing.T, dir string) {
	said := strings.Join(strings.Fields(tool(t, dir, "pdftotext", "-layout", buildfile.PDFName, "-")), " ")
	manifest, err := os.ReadFile(filepath.Join(dir, buildfile.ManifestName))
	if err != nil {
		t.Fatal(err)
	}
	m, err := buildfile.DecodeManifest(manifest)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"Skua of the yard", "Salvage category S", vin, plate, "Accumulator renewed", "new: New accumulator", supplier,
		"22 N·m", person, "Jo Kant", "Front left wheel", "Pump timed after", "page 2 of", "What is not proven", "What must be told on a sale",
		"None is recorded", "1250.50 GBP", "Oil at high pressure", m.Fingerprint, "Before: Pump primes each minute",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("the paper does not say %q", want)
		}
	}
	// In the order of writing the words of a narrow column stay together.
	if written := strings.Join(strings.Fields(tool(t, dir, "pdftotext", "-raw", buildfile.PDFName, "-")), " "); !strings.Contains(written, "Torque wrench, 10 Jan 2026") {
		t.Error("the paper does not say \"Torque wrench, 10 Jan 2026\"")
	}
	images := tool(t, dir, "pdfimages", "-list", buildfile.PDFName)
	// Two photos, one of them shown where it was found and where it was mended.
	if n := strings.Count(images, "jpeg"); n != 3 || !strings.Contains(images, " 480   640 ") {
		t.Errorf("%d times a photo in the PDF, or one not turned upright\n%s", n, images)
	}
}

// TestSameBytes: the same book, options and moment give the same bytes.
func TestSameBytes(t *testing.T) {
	g := filled(t)
	for _, edition := range buildfile.Editions {
		if a, b := g.make(g.options(edition)), g.make(g.options(edition)); !bytes.Equal(a, b) {
			t.Errorf("the %s edition is not the same twice", edition)
		}
	}
}

// TestItChecks: what is made is found whole, and the measurements come out the
// same again.
func TestItChecks(t *testing.T) {
	g := filled(t)
	g.keptLog(tooth(""))
	g.check()
	content := g.make(g.options(buildfile.Full))
	c, err := report.Check(t.Context(), bytes.NewReader(content), int64(len(content)), "x.zip")
	if err != nil || len(c.Wrong)+len(c.Differs)+len(c.NotAgain)+c.Missing != 0 || len(c.Again) != 5 || c.Entries < 4 {
		t.Fatalf("%+v, %v", c, err)
	}
	content = g.make(g.options(buildfile.Redacted))
	c, err = report.Check(t.Context(), bytes.NewReader(content), int64(len(content)), "x.zip")
	if err != nil || len(c.Wrong)+len(c.Differs)+len(c.NotAgain) != 0 || len(c.Again) != 5 {
		t.Fatalf("%+v, %v", c, err)
	}
}
