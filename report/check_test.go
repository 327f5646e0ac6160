package report_test

import (
	"archive/zip"
	"bytes"
	"maps"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
	"wreckwright/report"
)

// TestEveryChangedByteIsFound: in each file one byte, and bytes anywhere: in
// headers, names, the directory, the end.
func TestEveryChangedByteIsFound(t *testing.T) {
	g := filled(t)
	content := g.make(g.options(buildfile.Full))
	r, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		t.Fatal(err)
	}
	dice := rand.New(rand.NewPCG(1, 2))
	flip := func(at int, name string) {
		changed := bytes.Clone(content)
		changed[at] ^= byte(1 + dice.IntN(255))
		if seen(t, changed) == "" {
			t.Errorf("byte %d (%s) was changed and nothing was seen", at, name)
		}
	}
	for _, f := range r.File {
		start, err := f.DataOffset()
		if err != nil {
			t.Fatal(err)
		}
		flip(int(start)+dice.IntN(int(f.UncompressedSize64)), f.Name)
		flip(int(start)-1, "the name of "+f.Name)
		flip(int(start)-len(f.Name)-dice.IntN(30)-1, "the header of "+f.Name)
	}
	for range 300 {
		flip(dice.IntN(len(content)), "anywhere")
	}
	directory := len(content) - 22 - 46*len(r.File)
	for range 100 {
		flip(directory+dice.IntN(len(content)-directory), "the directory")
	}
}

// TestPackedAnewIsReadWhole: what was only packed anew has its measurements worked
// out again as if it were not.
func TestPackedAnewIsReadWhole(t *testing.T) {
	g := filled(t)
	content := g.make(g.options(buildfile.Full))
	names, of := parts(t, content)
	for _, anew := range [][]byte{content, zipOf(t, names, of, zip.Deflate)} {
		c, err := report.Check(t.Context(), bytes.NewReader(anew), int64(len(anew)), "x.zip")
		if err != nil {
			t.Fatal(err)
		}
		if len(c.Again) == 0 || len(c.Differs) > 0 || len(c.NotAgain) > 0 {
			t.Errorf("again %v, differs %v, not again %v", c.Again, c.Differs, c.NotAgain)
		}
	}
}

// TestWrongResultIsFound: the workshop itself enters a better figure than the
// readings give, and signs it.
func TestWrongResultIsFound(t *testing.T) {
	g := filled(t)
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		e := r.Evidence[0]
		e.Verdict, e.Figures = rebuild.VerdictPass, append([]rebuild.EvidenceFigure{}, e.Figures...)
		e.Figures[0].Value *= 1.01
		e.Figures[0].Low, e.Figures[0].High = nil, nil
		return r.EditEvidence(e)
	})
	said := seen(t, g.make(g.options(buildfile.Full)))
	if !strings.HasPrefix(said, "differs: ") || !strings.Contains(said, "the verdict was pass, and is now fail") {
		t.Error(said)
	}
}

// TestTitlesArePrintedOnOneLine: whoever has a key writes what they like into a title,
// but no line of their own on the screen of whoever checks it.
func TestTitlesArePrintedOnOneLine(t *testing.T) {
	g := filled(t)
	names, of := parts(t, g.make(g.options(buildfile.Full)))
	of[buildfile.JointsName] = bytes.Replace(of[buildfile.JointsName], []byte(`"engine": "`), []byte(`"engine": "\n\u001b[2Jfull.zip: in order\u202e`), 1)
	said := seen(t, sealed(t, names, of, g.key))
	if !strings.Contains(said, `\n\x1b[2Jfull.zip: in order\u202e`) || strings.ContainsAny(said, "\x1b\n\u202e") {
		t.Errorf("%q", said)
	}
}

// TestWrongPreloadIsFound: a preload that was kept otherwise than thread, torque and friction give it is
// found, although whoever has the key signed it.
func TestWrongPreloadIsFound(t *testing.T) {
	g := filled(t)
	names, of := parts(t, g.make(g.options(buildfile.Full)))
	kept := string(of[buildfile.JointsName])
	for name, c := range map[string]struct{ from, to, wants string }{
		"another preload": {`"value": `, `"value": 1`, "Preload of each fastener was"},
		"another joint":   {`"number": 1`, `"number": 2`, "stands where that of"},
		"an unknown key":  {`"number": 1`, `"number": 1, "sure": true`, "cannot be read"},
		"none at all":     {kept, "[]\n", "speaks of 0 tightenings; the data hold 1"},
	} {
		t.Run(name, func(t *testing.T) {
			of := maps.Clone(of)
			of[buildfile.JointsName] = []byte(strings.Replace(kept, c.from, c.to, 1))
			content := sealed(t, names, of, g.key)
			out, err := report.Check(t.Context(), bytes.NewReader(content), int64(len(content)), "x.zip")
			if err != nil || len(out.Wrong) > 0 || len(out.Differs) == 0 || !strings.Contains(strings.Join(out.Differs, "; "), c.wants) {
				t.Errorf("wrong %v, differs %v, %v", out.Wrong, out.Differs, err)
			}
		})
	}
}

// TestNothingIsWritten: the check leaves no file anywhere it could.
func TestNothingIsWritten(t *testing.T) {
	g := filled(t)
	names, of := parts(t, g.make(g.options(buildfile.Full)))
	of["../out.txt"] = []byte("x")
	dir := t.TempDir()
	t.Chdir(dir)
	t.Setenv("TMPDIR", dir)
	for _, content := range [][]byte{g.make(g.options(buildfile.Full)), packed(append(names, "../out.txt"), of)} {
		seen(t, content)
	}
	if held, err := os.ReadDir(dir); err != nil || len(held) > 0 {
		t.Errorf("%v, %v", held, err)
	}
}
