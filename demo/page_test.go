package demo

import (
	"errors"
	"strings"
	"testing"
	"time"
)

// TestJudge has the marker in a book, the one it would get now, and what is to
// come of it.
func TestJudge(t *testing.T) {
	cases := []struct {
		marker, now string
		want        holding
		foreign     bool
	}{
		{"", "2026-03-18 0", nothing, false}, // cut short at once
		{"", "2026-03-18 12", nothing, true},
		{markerUnfinished, "2026-03-18 12", outdated, false},
		{"2026-03-18 12", "2026-03-18 12", current, false},
		{"2026-03-18 12", "2026-03-18 13", current, false},
		{"2026-03-18 12", "2026-03-19 12", outdated, false},
		{"2026-03-18 12", "2026-03-19 13", current, false},
	}
	for _, c := range cases {
		held, err := judge("somewhere", c.marker, c.now)
		var not *NotADemo
		if held != c.want || errors.As(err, &not) != c.foreign {
			t.Errorf("%q against %q: %v, %v", c.marker, c.now, held, err)
		}
	}
}

func TestPagesAreInOrder(t *testing.T) {
	if _, err := readStories(); err != nil {
		t.Error(err)
	}
}

func TestPagesAreReadStrictly(t *testing.T) {
	for text, want := range map[string]string{
		"- {day: 3, sum: '1.00', supplyer: x}": "supplyer",
		"- {day: 3, day: 4}":                   "day",
		"- {day: soon}":                        "soon",
	} {
		var ledger []entryPage
		if err := decodePage("ledger.yaml", []byte(text), &ledger); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", text, err)
		}
	}
}

// TestCheckFindsFaults breaks a sound story in one place at a time.
func TestCheckFindsFaults(t *testing.T) {
	cases := map[string]struct {
		fault func(*story)
		want  string
	}{
		"nothing":                    {func(*story) {}, ""},
		"a finding twice":            {func(s *story) { s.Findings = append(s.Findings, s.Findings[0]) }, "comes twice"},
		"a job for no finding":       {func(s *story) { s.Jobs[0].Findings = []string{"nose"} }, `"nose", which is not there`},
		"a job before its finding":   {func(s *story) { s.Jobs[0].Day = 11 }, "before what it rests on"},
		"a choice before the job":    {func(s *story) { s.Jobs[0].Choose = &choice{Deed: Deed{Day: 20}} }, "the choice of job fix"},
		"a route that is not there":  {func(s *story) { s.Jobs[0].Choose = &choice{Deed: Deed{Day: 8}, Route: 2} }, "route 2 of 1"},
		"a cost before its job":      {func(s *story) { s.Ledger[0].Day = 10 }, "the cost part"},
		"a cost for no job":          {func(s *story) { s.Ledger[0].Job = "nose" }, `"nose", which is not there`},
		"a case of no finding":       {func(s *story) { s.Cases[0].Findings = []string{"nose"} }, `"nose", which is not there`},
		"a case of a later job":      {func(s *story) { s.Cases[0].Day = 10 }, "case hum is on day 10"},
		"a case twice":               {func(s *story) { s.Cases = append(s.Cases, s.Cases[0]) }, "comes twice"},
		"steps out of order":         {func(s *story) { s.Cases[0].Steps[0].Day = 3 }, "a step of case hum"},
		"a step before its timing":   {func(s *story) { s.Jobs[0].Timed[0].Day = 6 }, "case hum is on day 7"},
		"a timing that is not there": {func(s *story) { s.Cases[0].Steps[0].Measured = "fix after" }, `the timing "fix after"`},
		"waiting before the case":    {func(s *story) { s.Cases[0].NotNow[0].Day = 9 }, "what case hum waits with"},
		"a sum that is none":         {func(s *story) { s.Ledger[0].Sum = "much" }, "much"},
		"a receipt off by a penny":   {func(s *story) { s.Ledger[0].Lines[0][1] = "3.99" }, "does not add up"},
		"a slip that nobody can do":  {func(s *story) { s.Slips[0].Slip = "tripped" }, `no slip "tripped"`},
		"a slip with what is not":    {func(s *story) { s.Slips[0].Job = "nose" }, `"nose"`},
		"a cost known before bought": {func(s *story) { s.Ledger[0].Entered = new(9) }, "writing down part"},
	}
	for name, c := range cases {
		s := soundStory()
		c.fault(&s)
		err := s.check("made-up")
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func soundStory() story {
	return story{
		Car:      carPage{Currency: "GBP"},
		Findings: []findingPage{{Deed: Deed{Day: 10}, Key: "dent"}},
		Jobs:     []jobPage{{Deed: Deed{Day: 9}, Key: "fix", Findings: []string{"dent"}, Routes: []routePage{{}}, Timed: []timing{{Deed: Deed{Day: 9}, Phase: "before"}}}},
		Cases: []casePage{{
			Deed: Deed{Day: 8}, Key: "hum", Findings: []string{"dent"}, Jobs: []string{"fix"},
			Steps:  []triedPage{{Deed: Deed{Day: 7}, Test: "listen", Measured: "fix before"}, {Deed: Deed{Day: 6}, Repair: "oil"}},
			NotNow: []notNowPage{{Deed: Deed{Day: 7}, What: "spin"}},
		}},
		Ledger: []entryPage{{Deed: Deed{Day: 8}, Sum: "5.00", What: "part", Job: "fix", Lines: [][2]string{{"a", "4.00"}, {"b", "1.00"}}}},
		Slips:  []slipPage{{Deed: Deed{Day: 7}, Slip: slipDeletedJob, Job: "fix"}},
	}
}

func TestSaturdays(t *testing.T) {
	for n := range 14 {
		today := time.Date(2026, 2, 25+n, 23, 0, 0, 0, time.UTC)
		c := newCalendar(today)
		if back := today.Sub(c.day(0)); c.day(0).Weekday() != time.Saturday || back < 24*time.Hour || back > 8*24*time.Hour {
			t.Errorf("on %s the last Saturday is %s", today, c.day(0))
		}
		if c.day(7).Weekday() != time.Saturday {
			t.Errorf("day 7 is a %s", c.day(7).Weekday())
		}
	}
}

func TestNothingElseIsDrawn(t *testing.T) {
	if _, err := drawingOf(picture{Draw: "unicorn"}); err == nil {
		t.Error("drew a unicorn")
	}
	for name := range drawings {
		if _, err := drawingOf(picture{Draw: name, Caption: "Left & <right>"}); err != nil {
			t.Error(err)
		}
	}
}
