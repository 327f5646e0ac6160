package report_test

import (
	"bytes"
	"encoding/json"
	"log/slog"
	"regexp"
	"slices"
	"strings"
	"testing"

	"wreckwright/demo"
	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
	"wreckwright/report"
	"wreckwright/store"
	"wreckwright/workshop"
)

// sum is what looks like money.
var sum = regexp.MustCompile(`[£€$]\s?\d|\d\s?(GBP|EUR|USD)\b`)

// hashes and sizes of files are digits by chance.
var hashes = regexp.MustCompile(`[0-9a-f]{16,}|"size": [0-9]+`)

// TestRedactedTellsNobody: no name, plate, number, supplier or sum in any file of
// a redacted edition, nor on its paper.
func TestRedactedTellsNobody(t *testing.T) {
	g := filled(t)
	g.keptLog(tooth("")) // nothing in it: it stays
	g.keptLog("# taken by " + person + "\n" + tooth(""))
	dir := unpacked(t, g.make(g.options(buildfile.Redacted)))
	names, of := parts(t, g.make(g.options(buildfile.Redacted)))
	of["the paper"] = []byte(tool(t, dir, "pdftotext", "-layout", buildfile.PDFName, "-"))
	logs := 0
	for _, name := range append(names, "the paper") {
		if name == buildfile.PDFName || name == buildfile.SignatureName || strings.HasPrefix(name, "photos/") {
			continue
		}
		if strings.HasSuffix(name, ".csv") {
			logs++
		}
		text := strings.ToLower(hashes.ReplaceAllString(string(of[name]), ""))
		for _, secret := range []string{person, "Ada", "Bly", "Jo Kant", "Kant", plate, "N0RVNE", vin, "DEM000142", supplier, "1250.50", "1,250.50", "125050", "1111", "1222", "1333", "2000.00", "38000", "IMG_1", "cert of"} {
			if strings.Contains(text, strings.ToLower(secret)) {
				at := strings.Index(text, strings.ToLower(secret))
				t.Errorf("%s tells %q: …%s…", name, secret, text[max(0, at-40):min(len(text), at+40)])
			}
		}
		if at := sum.FindString(string(of[name])); at != "" {
			t.Errorf("%s tells a sum: %s", name, at)
		}
	}
	if logs != 1 {
		t.Errorf("%d logs are in it, where one of two names somebody", logs)
	}
	var left []buildfile.LeftOut
	if err := json.Unmarshal(of[buildfile.LeftOutName], &left); err != nil || len(left) < 8 {
		t.Errorf("%+v, %v", left, err)
	}
	if !strings.Contains(string(of[buildfile.RebuildName]), "NVSKUA00•••••••••") || !strings.Contains(string(of[buildfile.RebuildName]), "person 1") {
		t.Error("what names the model, or that there was a person, is gone too")
	}
}

// TestWithoutMoney: a full edition without the ledger holds no sum of it, but the
// names stay.
func TestWithoutMoney(t *testing.T) {
	g := filled(t)
	o := g.options(buildfile.Full)
	o.Money = false
	names, of := parts(t, g.make(o))
	for _, name := range names {
		if strings.HasPrefix(name, "photos/") || name == buildfile.PDFName {
			continue
		}
		for _, secret := range []string{"1250.50", "1111", "1222", "2000.00", "38000.00"} {
			if strings.Contains(string(of[name]), secret) {
				t.Errorf("%s tells %s", name, secret)
			}
		}
	}
	if !strings.Contains(string(of[buildfile.RebuildName]), person) {
		t.Error("the names are gone too")
	}
}

// TestDemoBuildFiles: the invented example book, with everything that it tells, in
// both editions: whole, and in the redacted one nobody's name.
func TestDemoBuildFiles(t *testing.T) {
	dir := t.TempDir()
	if err := demo.Build(t.Context(), dir, madeAt); err != nil {
		t.Fatal(err)
	}
	book, err := store.Open(t.Context(), dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	shop := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return "2026-05-04" })
	defer func() { _ = shop.Close(); _ = book.Close() }()
	key, err := shop.SigningKey(t.Context(), true)
	if err != nil {
		t.Fatal(err)
	}
	rb, err := book.Load(t.Context(), 1)
	if err != nil {
		t.Fatal(err)
	}
	g := &rig{t: t, book: book, shop: shop, id: 1, key: key}
	for _, edition := range buildfile.Editions {
		content := g.make(g.options(edition))
		c, err := report.Check(t.Context(), bytes.NewReader(content), int64(len(content)), "x.zip")
		if err != nil || len(c.Wrong)+len(c.Differs) > 0 || len(c.Again) < 10 {
			t.Fatalf("%s: %v, %v, %v, %v", edition, c.Wrong, c.Differs, c.Again, err)
		}
		for _, not := range c.NotAgain { // only what its reason is a good one for
			voice := edition == buildfile.Redacted && recorded(rb, not)
			if !voice && !strings.HasSuffix(not, "how thick the clamped parts are is not in the book") {
				t.Errorf("%s: %s", edition, not)
			}
		}
		shownOnPaper(t, unpacked(t, content), 15)
		t.Run("heads of tables, "+string(edition), func(t *testing.T) { noHeadStandsAlone(t, unpacked(t, content)) })
		if edition != buildfile.Redacted {
			continue
		}
		names, of := parts(t, content)
		secrets := []string{rb.Car.Plate, rb.Car.VIN}
		for _, e := range rb.Entries {
			secrets = append(secrets, e.Supplier)
		}
		for _, j := range rb.Joints {
			for _, t := range j.Tightenings {
				secrets = append(secrets, t.Who, t.SecondBy)
			}
		}
		for _, name := range names {
			for _, secret := range secrets {
				if secret != "" && strings.HasPrefix(name, "data/") && bytes.Contains(of[name], []byte(secret)) {
					t.Errorf("%s tells %q", name, secret)
				}
			}
		}
	}
}

// recorded reports that a measurement that could not be worked out again is one of a
// recording, which no redacted edition holds: voices may be heard in it.
func recorded(r *rebuild.Rebuild, not string) bool {
	return slices.ContainsFunc(r.Evidence, func(e rebuild.Evidence) bool {
		return e.Instrument == rebuild.InstrumentNoise && strings.HasPrefix(not, e.Title+" ("+e.On+"): its raw readings are not in this edition")
	})
}

// shownOnPaper: pictures really are in the PDF, and none is said not to be shown.
func shownOnPaper(t *testing.T, dir string, least int) {
	t.Helper()
	images := strings.Count(tool(t, dir, "pdfimages", "-list", buildfile.PDFName), "jpeg")
	if text := tool(t, dir, "pdftotext", buildfile.PDFName, "-"); images < least || strings.Contains(text, "not drawn") {
		t.Errorf("%d pictures in the PDF", images)
	}
}

// noHeadStandsAlone: no page ends with the head of a table whose first row is on
// the next one.
func noHeadStandsAlone(t *testing.T, dir string) {
	for i, page := range strings.Split(tool(t, dir, "pdftotext", "-layout", buildfile.PDFName, "-"), "\f") {
		var lines []string
		for _, line := range strings.Split(page, "\n") {
			if line = strings.Join(strings.Fields(line), " "); line != "" {
				lines = append(lines, line)
			}
		}
		if len(lines) < 2 {
			continue
		}
		for _, head := range []string{"When Torque Preload", "Found What How", "Figure Value", "Job Kind Part"} {
			if last := lines[len(lines)-2]; strings.HasPrefix(last, head) { // the foot of the page comes after it
				t.Errorf("page %d ends with the head %q", i+1, last)
			}
		}
	}
}
