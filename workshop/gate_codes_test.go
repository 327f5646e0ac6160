package workshop

import (
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// A record of codes stands against a gate by what is in it, never because codes by
// themselves cannot tell.
func TestCodesAtAGate(t *testing.T) {
	record := func(verdict rebuild.Verdict, codes float64, on string) step {
		return func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddEvidence(rebuild.Evidence{
				On: on, Instrument: rebuild.InstrumentCodes, Title: "Fault codes", Verdict: verdict, Why: "so", Engine: "codes 1",
				Figures: []rebuild.EvidenceFigure{{Name: figureCodes, Value: codes}, {Name: storeStored, Value: codes}},
			})
		}
	}
	for _, c := range []struct {
		name             string
		steps            []step
		road, inspection string
	}{
		{"none there, self-tests not read", []step{record(rebuild.VerdictCannotTell, 0, "2026-05-02")}, "", "codes-not-known"},
		{"codes there", []step{record(rebuild.VerdictCannotTell, 2, "2026-05-02")}, "codes-there", "codes-there"},
		{"self-tests not through", []step{record(rebuild.VerdictFail, 0, "2026-05-02")}, "", "codes-not-ready"},
		{"read once more, all well", []step{record(rebuild.VerdictFail, 3, "2026-05-02"), record(rebuild.VerdictPass, 0, "2026-05-03")}, "", ""},
	} {
		r := stand(t, append(c.steps, aFinding("scratch", rebuild.Cosmetic, false), surveyed)...)
		lines, err := gatesOf(r, today)
		if err != nil {
			t.Fatal(err)
		}
		said := func(l GateLine) string {
			for _, a := range l.Against {
				if a.Kind == "codes" || a.Kind == "check" {
					return a.Rule
				}
			}
			return ""
		}
		if said(lines[0]) != c.road || said(lines[2]) != c.inspection {
			t.Errorf("%s: road %q, inspection %q", c.name, said(lines[0]), said(lines[2]))
		}
	}
}

// readOf keeps what a reader showed.
func readOf(t *testing.T, text, on string, change ...func(*rebuild.Evidence)) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		t.Helper()
		s := CodesSettings{Jurisdiction: "UK"}
		said, err := ReadCodes(text, s)
		if err != nil {
			return rebuild.Change{}, err
		}
		e := said.Evidence(s)
		e.On = on
		for _, c := range change {
			c(&e)
		}
		return r.AddEvidence(e)
	}
}

// Codes, a count of them and the lamp stand until that unit was asked for them once
// more; what was not asked for says nothing.
func TestOnlyTheCodesReadAgainClearCodes(t *testing.T) {
	const there = "7E8 04 43 01 03 01"
	ofJob := func(e *rebuild.Evidence) { e.JobID = 1 }
	old := func(e *rebuild.Evidence) { // as records were kept before they told what was answered
		e.Figures = []rebuild.EvidenceFigure{{Name: figureCodes, Value: 0}}
	}
	cases := []struct {
		name  string
		steps []step
		n     int // records with codes
		state string
	}{
		{"none yet", nil, 0, ""},
		{"one code", []step{readOf(t, there, "2026-05-01")}, 1, "there"},
		{"asked again, none", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E8 02 43 00", "2026-05-02")}, 0, "not known"},
		{"live values only", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E8 04 41 0C 1A F8", "2026-05-02")}, 1, "there"},
		{"another unit", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E9 02 43 00", "2026-05-02")}, 1, "there"},
		{"a reader that names no unit", []step{readOf(t, there, "2026-05-01"), readOf(t, "43 00", "2026-05-02")}, 0, "not known"},
		{"somebody says no codes", []step{readOf(t, "P0301", "2026-05-01"), readOf(t, "no codes", "2026-05-02")}, 0, "not known"},
		{"typed, then read", []step{readOf(t, "P0301", "2026-05-01"), readOf(t, "7E8 02 43 00", "2026-05-02")}, 0, "not known"},
		{"pending ones do not answer for stored ones", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E8 02 47 00", "2026-05-02")}, 1, "there"},
		{"stored ones do not answer for permanent ones", []step{readOf(t, "7E8 04 4A 01 03 01", "2026-05-01"), readOf(t, "7E8 02 43 00", "2026-05-02")}, 1, "there"},
		{"read before, as kept long ago", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E8 04 41 0C 1A F8", "2026-05-02", old)}, 1, "there"},
		{"under a dropped job", []step{aJob("x", 10), readOf(t, there, "2026-05-01", ofJob), changeJob(1, func(j *rebuild.Job) { j.State = rebuild.JobDropped })}, 1, "there"},
		{"filed as from before the work", []step{readOf(t, there, "2026-05-01", func(e *rebuild.Evidence) { e.Phase = rebuild.PhaseBefore })}, 1, "there"},
		{"two units, one asked again", []step{readOf(t, there+"\n7E9 04 43 01 04 20", "2026-05-01"), readOf(t, "7E8 02 43 00", "2026-05-02")}, 1, "there"},
		{"the lamp on, codes counted", []step{readOf(t, "41 01 83 07 65 04", "2026-05-01")}, 1, "there"},
		{"the lamp on, none counted", []step{readOf(t, "41 01 80 07 65 04", "2026-05-01")}, 1, "there"},
		{"counted, the lamp off", []step{readOf(t, "41 01 02 07 65 00", "2026-05-01")}, 1, "there"},
		{"the lamp on, and none stored", []step{readOf(t, "41 01 83 07 65 04\n43 00", "2026-05-01")}, 1, "there"},
		{"the lamp on, then the state once more", []step{readOf(t, "41 01 83 07 65 04", "2026-05-01"), readOf(t, "41 01 00 07 65 00\n43 00", "2026-05-02")}, 0, "none"},
		{"the lamp off does not answer for codes", []step{readOf(t, there, "2026-05-01"), readOf(t, "7E8 06 41 01 00 07 65 00", "2026-05-02")}, 1, "there"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			things := codesThings(stand(t, c.steps...))
			n, state := 0, ""
			for _, thing := range things {
				if thing.State == "there" {
					n++
				}
				if state != "there" {
					state = thing.State
				}
			}
			if n != c.n || state != c.state {
				t.Errorf("%d with codes, %q; want %d, %q: %+v", n, state, c.n, c.state, things)
			}
		})
	}
}

// What was never asked for is not said to be none.
func TestCodesNotAskedForAreNotNone(t *testing.T) {
	for text, says := range map[string]string{
		"7E8 04 41 0C 1A F8": "no fault code was asked for", "43 00": "on record: no fault code", "41 01 83 07 65 04": "counts 3 fault codes",
	} {
		said, err := ReadCodes(text, CodesSettings{Jurisdiction: "UK"})
		if err != nil || !strings.Contains(said.Why, says) {
			t.Errorf("%s: %q (%v), want %q", text, said.Why, err, says)
		}
		if counted := said.Figures[0].Name == figureCodes; counted != (text == "43 00") {
			t.Errorf("%s: the first figure is %q", text, said.Figures[0].Name)
		}
	}
}
