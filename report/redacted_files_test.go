package report_test

import (
	"bytes"
	"strings"
	"testing"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// rawText keeps a text of an instrument as the raw readings of a measurement.
func (g *rig) rawText(name, content string) {
	g.t.Helper()
	raw := g.put(name, "text/plain", []byte(content))
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddEvidence(rebuild.Evidence{
			On: "2026-04-18", Instrument: rebuild.InstrumentCodes, Title: "Readings", Raw: []rebuild.Attachment{raw},
			Verdict: rebuild.VerdictCannotTell, Why: "only kept", Engine: "test 1",
		})
	})
}

// paperText hangs a text on a finding.
func (g *rig) paperText(content string) {
	g.t.Helper()
	a := g.put("note.txt", "text/plain", []byte(content))
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddFinding(rebuild.Finding{Zone: "bonnet", What: "A paper", HowFound: rebuild.Seen, Severity: rebuild.Minor, On: "2026-04-01", Photos: []rebuild.Attachment{a}})
	})
}

// TestRedactedFilesTellNothing: what may not be read in the data may not be read in
// the files either, in whatever letters they were written; what tells nothing stays.
func TestRedactedFilesTellNothing(t *testing.T) {
	secret := map[string]func(g *rig, text string){
		"0: 49 02 01 4E 56 53\n1: 4B 55 41 30 30 44 45\n2: 4D 30 30 30 31 34 32\n": func(g *rig, text string) { g.rawText("codes.txt", text) },
		"12.1\n# ring 07700 900123\n12.2\n":                                        func(g *rig, text string) { g.rawText("log.txt", text) },
		"12.1 12.2 asked £450 for it\n":                                            func(g *rig, text string) { g.rawText("log.txt", text) },
		"A\x00d\x00a\x00 \x00B\x00l\x00y\x00":                                      func(g *rig, text string) { g.rawText("log.txt", text) },
		"offer: 12000 CZK\n":                                                       (*rig).paperText,
		"call 0113 496 0000 before noon\n":                                         (*rig).paperText,
		"paid 300,- in cash\n":                                                     (*rig).paperText,
	}
	plain := map[string]func(g *rig, text string){
		"43 02 01 33 04 20 00 00\n":              func(g *rig, text string) { g.rawText("codes.txt", text) },
		"0123 45678 901\n202 555 0123\n12,-\n":   func(g *rig, text string) { g.rawText("log.txt", text) },
		"the hose chafed at the bracket, 3 mm\n": (*rig).paperText,
	}
	g := newRig(t)
	for _, texts := range []map[string]func(*rig, string){secret, plain} {
		for text, keep := range texts {
			keep(g, text)
		}
	}
	names, of := parts(t, g.make(g.options(buildfile.Redacted)))
	held := func(text string) bool {
		for _, name := range names {
			if (strings.HasPrefix(name, "raw/") || strings.HasPrefix(name, "records/")) && bytes.Equal(of[name], []byte(text)) {
				return true
			}
		}
		return false
	}
	for text := range secret {
		if held(text) {
			t.Errorf("a file that says %q is in it", text)
		}
	}
	for text := range plain {
		if !held(text) {
			t.Errorf("the file that says %q is not in it", text)
		}
	}
}

// TestRedactedNamesNoTown: where the official test was names the town, on its own
// and in anybody's words.
func TestRedactedNamesNoTown(t *testing.T) {
	g := newRig(t)
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddOfficialTest(rebuild.OfficialTest{On: "2026-05-01", Jurisdiction: "UK", Result: rebuild.TestFail, Where: "Little Harbourton", Note: "back to Little Harbourton next week"})
	})
	_, of := parts(t, g.make(g.options(buildfile.Redacted)))
	dir := unpacked(t, g.make(g.options(buildfile.Redacted)))
	for name, text := range map[string]string{"the data": string(of[buildfile.RebuildName]), "the paper": tool(t, dir, "pdftotext", buildfile.PDFName, "-")} {
		if strings.Contains(text, "Harbourton") || !strings.Contains(text, "next week") {
			t.Errorf("%s names the town, or has lost the note", name)
		}
	}
}
