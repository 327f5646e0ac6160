package history

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wreckwright/outside"
)

// testRules are rules for these tests, with the thresholds that the data has;
// the texts show what is filled in.
func testRules() Rules {
	limits := map[string]map[string]float64{
		"odometer-falls": {"tolerance": 10, "tolerance_share": 0.001}, "unit-switch": {"low": 0.60, "high": 0.64},
		"odometer-rollover": {"turns_at": 99999, "share": 0.9}, "pace-implausible": {"mi": 60000, "km": 100000, "days": 30},
		"pace-high": {"mi": 30000, "km": 50000, "days": 60}, "pace-high-over-weeks": {"days": 30}, "pace-low": {"mi": 1000, "km": 1600, "years": 2},
		"distance-for-age": {"low": 0.25, "high": 3, "years": 1}, "plate-change-near-write-off": {"before_days": 30, "after_days": 180},
		"inspection-soon-after-damage": {"days": 14}, "keepers-in-a-row": {"count": 3, "days": 366}, "keepers-after-write-off": {"count": 2, "days": 90},
		"model-year": {"below": -1, "above": 2}, "inspection-gap": {"grace_days": 60}, "record-gap": {"years": 3},
	}
	stops := []string{"final-mark", "use-after-final", "stolen", "finance-open"}
	notes := []string{"pace-low", "pace-high-over-weeks", "distance-for-age", "inspection-gap", "record-gap", "model-year"}
	r := Rules{
		Places: []Place{
			{
				Key: "X", Name: "Exland", Authority: "the office", Unmarked: Yes, Test: Test{"test", 3, 1, 0}, PerYear: 8000, PerYearUnit: Miles, MileageFrom: 2011, MileageYears: 20,
				ForeignAs: map[string]string{"mended": "hurt"}, Duties: []Duty{
					{When: "always", Text: "Always done."},
					{Tell: true, When: "always", Text: "Always told."},
					{When: "marked", Text: "Done when marked."},
					{When: "import", Text: "Done on import."},
					{When: "foreign mark", Text: "Done with a foreign mark."},
					{Tell: true, When: "mileage", Text: "Mileage told."},
				}, Basis: Basis{"LAW", BasisMemory, "2026-01"},
			},
			{Key: "Y", Name: "Wyeland", Authority: "the ministry", Unmarked: Yes, Basis: Basis{"LAW", BasisRead, "2026-01"}},
		},
		Categories: []Category{
			{Jurisdiction: "X", Code: "dead", Name: "Dead", Meaning: "Gone.", Road: No, First: "Nothing.", Tell: "Parts only.", Rank: 4},
			{Jurisdiction: "X", Code: "hurt", Aliases: []string{"bent"}, Name: "Hurt", Meaning: "Bent.", Road: AfterInspection, First: "Have it inspected.", Tell: "That it was hurt.", Rank: 2, Structural: true},
			{Jurisdiction: "X", Code: "scratched", Name: "Scratched", Meaning: "Skin.", Road: Yes, First: "Mend it.", Tell: "That it was scratched.", Rank: 1, From: "2017-10-01"},
			{Jurisdiction: "X", Code: "mended", Name: "Mended", Meaning: "Whole again.", Road: Yes, First: "Nothing more.", Tell: "That it was mended.", Rank: 1, Lifts: []string{"hurt"}},
			{Jurisdiction: "Y", Code: "loss", Unnamed: true, Name: "Loss", Meaning: "Arithmetic.", Road: Yes, First: "Mend it.", Tell: "The accident."},
			{Jurisdiction: "Y", Code: "waste", Name: "Waste", Meaning: "Waste.", Road: No, First: "Nothing.", Tell: "Parts only."},
		},
	}
	for i := range r.Categories {
		r.Categories[i].Basis = Basis{"LAW", BasisSecond, "2026-01"}
	}
	for key := range needed {
		severity := Question
		if slices.Contains(stops, key) {
			severity = Stop
		} else if slices.Contains(notes, key) {
			severity = Note
		}
		r.Rules = append(r.Rules, Rule{Key: key, Severity: severity, Text: key + ": {date} {earlier} {days} {pace} {reading} {before}", Limits: limits[key], Basis: Basis{"DESIGN", BasisOwn, "2026-01"}})
	}
	return r
}

func on(text string) time.Time {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		panic(err)
	}
	return t
}

// ev is an event out of words: "2021-03-10 inspection pass 41200", with a
// category, from and unit as cat=, from=, in=.
func ev(text string) Event {
	words := strings.Split(text, ";")
	e := Event{Date: on(words[0]), Kind: words[1]}
	for _, w := range words[2:] {
		name, value, _ := strings.Cut(w, "=")
		switch name {
		case "cat":
			e.Category = value
		case "from":
			e.From = value
		case "unit":
			e.Unit = value
		case "at":
			e.Jurisdiction = value
		case "pass", "fail":
			e.Result = name
		default:
			var v float64
			if _, err := fmt.Sscan(name, &v); err != nil {
				panic(err)
			}
			e.Odometer = &v
		}
	}
	return e
}

func caseOf(place string, events ...string) Case {
	c := Case{Jurisdiction: place, Today: on("2026-06-01"), Vehicle: Vehicle{FirstUsed: on("2012-05-01"), DistanceUnit: Miles}}
	for _, e := range events {
		c.Events = append(c.Events, ev(e))
	}
	return c
}

func read(t interface {
	Helper()
	Fatal(...any)
}, c Case,
) Result {
	t.Helper()
	r, err := Read(c, testRules())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// rulesOf are the rules that found something, without those that lists of few
// readings always trip.
func rulesOf(r Result) string {
	var list []string
	for _, f := range r.Findings {
		if f.Rule != "inspection-gap" && f.Rule != "no-readings" && f.Rule != "distance-for-age" && f.Rule != "mark" && f.Rule != "record-gap" {
			list = append(list, f.Rule)
		}
	}
	slices.Sort(list)
	return strings.Join(list, " ")
}

func TestReadings(t *testing.T) {
	for _, k := range []struct {
		name, rules string
		events      []string
	}{
		{"a usual year", "", []string{"2021-03-10;odometer;41200", "2022-03-12;odometer;48350"}},
		{"then fifty days at courier's pace: too short to hold against anybody", "pace-high-over-weeks", []string{"2021-03-10;odometer;41200", "2022-03-12;odometer;48350", "2022-05-01;odometer;55350"}},
		{"four years of hardly any", "pace-low", []string{"2019-06-01;odometer;62000", "2023-06-01;odometer;62350"}},
		{"miles out of kilometres", "unit-switch", []string{"2019-06-01;odometer;61155", "2020-06-01;odometer;38000"}},
		{"kilometres out of miles, in a year", "unit-switch", []string{"2019-06-01;odometer;80000", "2020-06-01;odometer;128748"}},
		{"the same ratio in a young car is a usual year", "", []string{"2013-06-01;odometer;10000", "2014-06-01;odometer;16100"}},
		{"a fall", "odometer-falls", []string{"2019-06-01;odometer;61155", "2020-06-01;odometer;52000"}},
		{"a fall within tolerance", "", []string{"2019-06-01;odometer;61155", "2019-06-20;odometer;61150"}},
		{"one slip, then back in line", "odometer-slip", []string{"2019-06-01;odometer;61155", "2020-06-01;odometer;6800", "2021-06-01;odometer;75000"}},
		{"one reading too high", "odometer-slip", []string{"2019-06-01;odometer;61155", "2020-06-01;odometer;680000", "2021-06-01;odometer;75000"}},
		{"one reading in kilometres", "unit-switch", []string{"2019-06-01;odometer;61155", "2020-06-01;odometer;109000", "2021-06-01;odometer;75000"}},
		{"said to be in kilometres", "", []string{"2019-06-01;odometer;61155", "2020-06-01;odometer;109000;unit=km", "2021-06-01;odometer;75000"}},
		{"five digits turned over", "odometer-rollover", []string{"2019-06-01;odometer;97000", "2020-06-01;odometer;4000"}},
		{"too far for that", "odometer-falls", []string{"2019-06-01;odometer;97000", "2020-06-01;odometer;45000"}},
		{"two months at courier's pace", "pace-high", []string{"2019-06-01;odometer;61155", "2019-08-01;odometer;67155"}},
		{"beyond belief", "pace-implausible", []string{"2019-06-01;odometer;61155", "2019-08-01;odometer;72155"}},
		{"the same day twice", "", []string{"2019-06-01;odometer;61155", "2019-06-01;odometer;61100"}},
	} {
		if got := rulesOf(read(t, caseOf("X", k.events...))); got != k.rules {
			t.Errorf("%s: %q, want %q", k.name, got, k.rules)
		}
	}
}

// TestPaceByHand: 7,150 miles in 367 days are 7,116 a year; the mile is
// 1.609344 km.
func TestPaceByHand(t *testing.T) {
	r := read(t, caseOf("X", "2021-03-10;odometer;41200", "2022-03-12;odometer;48350", "2022-05-01;odometer;55350"))
	km := read(t, caseOf("X", "2021-03-10;odometer;160934.4;unit=km"))
	outside.Check(t, []outside.Case{
		{Source: "DESIGN_HISTORY", Where: "pace", What: "miles a year over 367 days", Got: r.Working[0].Value, Want: 7116, Tolerance: 0.5, Why: "rounded to the mile"},
		{Source: "DESIGN_HISTORY", Where: "pace", What: "miles a year over 50 days", Got: r.Working[1].Value, Want: 51135, Tolerance: 0.5, Why: "rounded to the mile"},
		{Source: "YARD_1959", Where: "mile", What: "160,934.4 km in miles", Got: *km.Timeline[0].Odometer, Want: 100000, Tolerance: 1e-9, Why: "exact by definition"},
	})
}

// TestMileageStated: a car of 2011 sold in 2030 still needs the statement, sold
// in 2031 no longer; one of 2010 never.
func TestMileageStated(t *testing.T) {
	p := testRules().Places[0]
	said := func(model, sale int) float64 {
		if p.mileageStated(model, sale) {
			return 1
		}
		return 0
	}
	outside.Check(t, []outside.Case{
		{Source: "CFR_49_580", Where: "580.17", What: "model year 2011 sold in 2030 (1: must be stated)", Got: said(2011, 2030), Want: 1, Why: "exact"},
		{Source: "CFR_49_580", Where: "580.17", What: "model year 2011 sold in 2031", Got: said(2011, 2031), Want: 0, Why: "exact"},
		{Source: "CFR_49_580", Where: "580.17", What: "model year 2010 sold in 2026", Got: said(2010, 2026), Want: 0, Why: "exact"},
	})
	if r := read(t, caseOf("X")); !strings.Contains(fmt.Sprint(r.MustDisclose), "Mileage told.") {
		t.Error("mileage is not told of a car of 2012 in 2026")
	}
}

func TestMarks(t *testing.T) {
	for _, k := range []struct {
		name, place, answer, rules string
		events                     []string
	}{
		{"nothing", "X", Yes, "", nil},
		{"unknown place", "Q", Unknown, "jurisdiction-unknown", nil},
		{"unknown place, marked", "Q", Unknown, "category-unknown jurisdiction-unknown", []string{"2020-01-01;write-off;cat=hurt"}},
		{"unknown place, destroyed", "Q", No, "final-mark jurisdiction-unknown", []string{"2020-01-01;destroyed"}},
		{"place in small letters", "x", Yes, "", nil},
		{"inspection needed", "X", AfterInspection, "", []string{"2020-01-01;write-off;cat=Hurt"}},
		{"by another name", "X", AfterInspection, "", []string{"2020-01-01;write-off;cat=BENT"}},
		{"lifted", "X", Yes, "", []string{"2020-01-01;write-off;cat=hurt", "2020-06-01;registration;cat=mended"}},
		{"hurt again after it was mended", "X", AfterInspection, "written-off-again", []string{"2020-01-01;write-off;cat=hurt", "2020-06-01;registration;cat=mended", "2021-01-01;write-off;cat=hurt"}},
		{"final", "X", No, "final-mark", []string{"2020-01-01;write-off;cat=dead"}},
		{"final, then mended: softened, and final all the same", "X", No, "category-softened final-mark use-after-final", []string{"2020-01-01;write-off;cat=dead", "2020-06-01;registration;cat=mended"}},
		{"final, then softer", "X", No, "category-softened final-mark", []string{"2020-01-01;write-off;cat=dead", "2020-06-01;write-off;cat=hurt"}},
		{"softer", "X", AfterInspection, "category-softened", []string{"2019-01-01;write-off;cat=hurt", "2020-01-01;write-off;cat=scratched"}},
		{"harder", "X", AfterInspection, "written-off-again", []string{"2019-01-01;write-off;cat=scratched", "2020-01-01;write-off;cat=hurt"}},
		{"inspected after the end", "X", No, "final-mark use-after-final", []string{"2020-02-01;write-off;cat=dead", "2020-09-03;inspection;pass"}},
		{"read at a viewing after the end: no use", "X", No, "final-mark", []string{"2020-02-01;write-off;cat=dead", "2020-09-03;odometer;9000"}},
		{"scrapped, then used", "X", No, "final-mark use-after-final", []string{"2020-02-01;scrapped", "2020-09-03;keeper change"}},
		{"unknown category", "X", Unknown, "category-unknown", []string{"2020-02-01;write-off;cat=singed"}},
		{"no category", "X", Unknown, "category-missing", []string{"2020-02-01;write-off"}},
		{"no category where none is given", "Y", Yes, "", []string{"2020-02-01;write-off"}},
		{"before its time", "X", Yes, "category-outside-dates", []string{"2016-02-01;write-off;cat=scratched"}},
		{"imported with a mark of its own country", "X", Unknown, "brand-not-carried-over", []string{"2020-02-01;write-off;cat=loss", "2021-02-01;import;from=Y"}},
		{"imported dead", "X", No, "brand-not-carried-over final-mark use-after-final", []string{"2020-02-01;write-off;cat=waste", "2021-02-01;import;from=Y"}},
		{"a foreign mark known at home", "X", AfterInspection, "brand-not-carried-over", []string{"2020-02-01;write-off;cat=hurt;at=Z"}},
		{"mended abroad counts as hurt", "X", AfterInspection, "brand-not-carried-over", []string{"2020-02-01;write-off;cat=mended", "2021-02-01;import;from=Z"}},
		{"a harmless name given in a place without rules", "X", Unknown, "brand-not-carried-over category-unknown", []string{"2020-02-01;write-off;cat=scratched;at=Z"}},
		{"a harmless name, imported from there", "X", Unknown, "brand-not-carried-over category-unknown", []string{"2020-02-01;write-off;cat=scratched", "2021-02-01;import;from=Z"}},
		{"a harmless name given in a place with rules", "X", Yes, "brand-not-carried-over", []string{"2020-02-01;write-off;cat=scratched;at=Y"}},
		{"scrapped, whatever the category", "X", No, "final-mark", []string{"2020-02-01;scrapped;cat=scratched"}},
		{"destroyed, whatever the category", "X", No, "final-mark", []string{"2020-02-01;destroyed;cat=scratched"}},
		{"a mark from nobody knows where", "X", Unknown, "brand-not-carried-over category-unknown", []string{"2020-02-01;write-off;cat=singed", "2021-02-01;import"}},
	} {
		r := read(t, caseOf(k.place, k.events...))
		if r.MayReturn != k.answer || rulesOf(r) != k.rules {
			t.Errorf("%s: %s (%s), %q; want %s, %q", k.name, r.MayReturn, r.Why, rulesOf(r), k.answer, k.rules)
		}
		if r.MayReturn == Unknown && !strings.Contains(fmt.Sprint(r.MustDo), "in writing, before any money is paid") {
			t.Errorf("%s: unknown, but nobody is told to ask: %v", k.name, r.MustDo)
		}
	}
}

// A mark of which nobody knows the day counts like any other, but nothing is made
// of the day on which it was learnt.
func TestMarkOfADayNotKnown(t *testing.T) {
	c := caseOf("X", "2026-05-20;plate change", "2026-05-25;keeper change", "2026-05-30;keeper change", "2026-06-01;inspection;pass;9000", "2026-06-01;write-off;cat=hurt")
	c.Events[4].Undated = true
	if r := read(t, c); r.MayReturn != AfterInspection || rulesOf(r) != "" || strings.Contains(fmt.Sprint(r.Why, r.MustDisclose), "2026-06-01") || !strings.Contains(r.Why, "hurt of a day not known") {
		t.Errorf("%s (%s), %q, %v", r.MayReturn, r.Why, rulesOf(r), r.MustDisclose)
	}
	c = caseOf("X", "2016-06-01;write-off;cat=scratched")
	c.Events[0].Undated = true
	if r := read(t, c); rulesOf(r) != "" {
		t.Errorf("a day not known is held against the years in which the category was given: %q", rulesOf(r))
	}
}

// What a milder mark asks for is no way back for a car that may not come back.
func TestNothingToDoForADeadCar(t *testing.T) {
	r := read(t, caseOf("X", "2019-01-01;write-off;cat=hurt", "2020-01-01;write-off;cat=dead"))
	if do := fmt.Sprint(r.MustDo); r.MayReturn != No || strings.Contains(do, "Have it inspected.") || !strings.Contains(do, "Nothing.") {
		t.Errorf("%s, %v", r.MayReturn, r.MustDo)
	}
	if tell := fmt.Sprint(r.MustDisclose); !strings.Contains(tell, "That it was hurt.") || !strings.Contains(tell, "Parts only.") {
		t.Errorf("told: %v", r.MustDisclose)
	}
}

func TestPapers(t *testing.T) {
	for _, k := range []struct {
		name, rules string
		events      []string
	}{
		{"plate 47 days after", "plate-change-near-write-off", []string{"2021-05-04;write-off;cat=hurt", "2021-06-20;plate change"}},
		{"plate 30 days before", "plate-change-near-write-off", []string{"2021-04-04;plate change", "2021-05-04;write-off;cat=hurt"}},
		{"plate 31 days before", "", []string{"2021-04-03;plate change", "2021-05-04;write-off;cat=hurt"}},
		{"plate 181 days after", "", []string{"2021-05-04;write-off;cat=hurt", "2021-11-01;plate change"}},
		{"passed within a fortnight", "inspection-soon-after-damage", []string{"2021-05-04;write-off;cat=hurt", "2021-05-18;inspection;pass"}},
		{"passed after a repair", "", []string{"2021-05-04;write-off;cat=hurt", "2021-05-10;repair", "2021-05-18;inspection;pass"}},
		{"passed later", "", []string{"2021-05-04;write-off;cat=hurt", "2021-05-19;inspection;pass"}},
		{"passed soon after a scratch", "", []string{"2021-05-04;write-off;cat=scratched", "2021-05-05;inspection;pass"}},
		{"three keepers in a year", "keepers-in-a-row", []string{"2021-01-01;keeper change", "2021-05-04;keeper change", "2022-01-01;keeper change"}},
		{"three keepers in more", "", []string{"2021-01-01;keeper change", "2021-05-04;keeper change", "2022-02-01;keeper change"}},
		{"two keepers after the damage", "keepers-after-write-off", []string{"2021-01-01;write-off;cat=hurt", "2021-02-04;keeper change", "2021-03-01;keeper change"}},
		{"away and used", "used-after-export", []string{"2021-01-01;export", "2021-05-04;inspection;pass"}},
		{"away and back", "", []string{"2021-01-01;export", "2021-03-01;import;from=Y", "2021-05-04;inspection;pass"}},
		{"used elsewhere", "", []string{"2021-01-01;export", "2021-05-04;inspection;pass;at=Y"}},
		{"stolen", "stolen", []string{"2021-01-01;stolen"}},
		{"stolen and found", "recovered", []string{"2021-01-01;stolen", "2021-01-09;recovered"}},
		{"stolen twice, found once", "recovered stolen", []string{"2021-01-01;stolen", "2021-01-09;recovered", "2022-01-09;stolen"}},
		{"found", "recovered-without-theft", []string{"2021-01-09;recovered"}},
		{"owed", "finance-open", []string{"2021-01-01;finance"}},
		{"paid", "", []string{"2021-01-01;finance", "2022-01-01;finance settled"}},
		{"owed twice, paid once", "finance-open", []string{"2021-01-01;finance", "2021-06-01;finance", "2022-01-01;finance settled"}},
		{"paid, but what", "settled-without-finance", []string{"2022-01-01;finance settled"}},
	} {
		if got := rulesOf(read(t, caseOf("X", k.events...))); got != k.rules {
			t.Errorf("%s: %q, want %q", k.name, got, k.rules)
		}
	}
	c := caseOf("X", "2021-01-01;finance")
	if r := read(t, c); r.Stops != 1 {
		t.Errorf("finance of a trade buyer stops %d times", r.Stops)
	}
	c.Private = true
	if r := read(t, c); r.Stops != 0 || r.Questions == 0 {
		t.Errorf("finance of a private buyer stops %d times", r.Stops)
	}
	c = caseOf("X")
	c.Vehicle.ModelYear = 2009
	if got := rulesOf(read(t, c)); got != "model-year" {
		t.Errorf("model year 2009 first used in 2012: %q", got)
	}
}

func TestInspectionsAndSilence(t *testing.T) {
	has := func(r Result, rule string) (n int) {
		for _, f := range r.Findings {
			if f.Rule == rule {
				n++
			}
		}
		return n
	}
	r := read(t, caseOf("X", "2015-05-01;inspection;pass;1000", "2016-06-20;inspection;pass;2000", "2019-06-20;inspection;fail;2000", "2025-07-01;inspection;pass;5000"))
	if n := has(r, "inspection-gap"); n != 2 { // the one of 2019, and 2025 after a fail in 2019
		t.Errorf("%d gaps", n)
	}
	if strings.Contains(fmt.Sprint(r.MustDo), "must be passed") {
		t.Errorf("passed on 2025-07-01, today 2026-06-01: nothing is due; %v", r.MustDo)
	}
	r = read(t, caseOf("X", "2025-05-01;inspection;pass;1000"))
	if !strings.Contains(fmt.Sprint(r.MustDo), "due again on 2026-05-01") {
		t.Errorf("due: %v", r.MustDo)
	}
	if r := read(t, caseOf("X")); !strings.Contains(fmt.Sprint(r.MustDo), "none that was passed is on record") {
		t.Errorf("never inspected: %v", r.MustDo)
	}
	own := caseOf("X", "2015-05-01;inspection;pass;1000")
	own.Passed = []time.Time{own.Today.AddDate(0, 1, 0)}
	if r := read(t, own); !strings.Contains(fmt.Sprint(r.MustDo), "must be passed") {
		t.Errorf("a test that is still to come: %v", r.MustDo)
	}
	gaps := has(read(t, own), "inspection-gap")
	own.Passed = []time.Time{own.Today.AddDate(0, 0, -20)}
	if r := read(t, own); strings.Contains(fmt.Sprint(r.MustDo), "must be passed") || has(r, "inspection-gap") != gaps {
		t.Errorf("passed by the owner: %v", r.MustDo)
	}
	if r := read(t, caseOf("X", "2020-01-01;destroyed")); strings.Contains(fmt.Sprint(r.MustDo), "must be passed") || strings.Contains(fmt.Sprint(r.MustDo), "Always done") {
		t.Errorf("what may not come back needs nothing: %v", r.MustDo)
	}
	rules := testRules()
	rules.Places[0].Test = Test{"test", 4, 2, 10}
	for passed, due := range map[string]string{"2021-05-01": "2023-05-01", "2022-05-01": "2023-05-01", "2023-04-01": "2024-04-01"} {
		r, err := Read(caseOf("X", passed+";inspection;pass;1000"), rules)
		if err != nil || !strings.Contains(fmt.Sprint(r.MustDo), "due again on "+due) {
			t.Errorf("every two years, yearly from the tenth: passed %s, %v", passed, r.MustDo)
		}
	}
	r = read(t, caseOf("Y", "2014-05-01;service;1000", "2020-05-01;service;40000"))
	if n := has(r, "record-gap"); n != 2 { // 2014 to 2020 and 2020 to 2026
		t.Errorf("%d silences", n)
	}
}

func TestTimelineAndJSON(t *testing.T) {
	r := read(t, caseOf("X", "2021-06-01;odometer;75000", "2019-06-01;odometer;61155", "2020-06-01;odometer;6800", "2022-01-01;write-off;cat=hurt"))
	if len(r.Timeline) != 4 || r.Timeline[0].Number != 2 || r.Timeline[1].InLine || !r.Timeline[2].InLine || r.Timeline[1].Severity != Question {
		t.Errorf("timeline: %+v", r.Timeline)
	}
	if r.Timeline[3].Odometer != nil || !slices.Contains(r.Timeline[3].Flags, "mark") {
		t.Errorf("last point: %+v", r.Timeline[3])
	}
	data, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var back struct {
		MustDo   []string `json:"must_do"`
		Findings []struct{ Events []string }
	}
	if err := json.Unmarshal(data, &back); err != nil || len(back.MustDo) == 0 || !strings.Contains(strings.Join(back.MustDo, " "), "[") {
		t.Errorf("JSON: %v, %+v", err, back)
	}
}

// anyStory draws events of all kinds.
func anyStory(t *rapid.T) Case {
	c := caseOf(rapid.SampledFrom([]string{"X", "Y", "Q"}).Draw(t, "place"))
	for range rapid.IntRange(0, 12).Draw(t, "events") {
		e := Event{
			Date: c.Vehicle.FirstUsed.AddDate(0, 0, rapid.IntRange(0, 5000).Draw(t, "day")),
			Kind: rapid.SampledFrom(Kinds).Draw(t, "kind"),
		}
		if e.Kind == Odometer || rapid.Bool().Draw(t, "read") {
			e.Odometer = new(float64(rapid.IntRange(0, 200000).Draw(t, "odometer")))
		}
		if e.Kind == WriteOff {
			e.Category = rapid.SampledFrom([]string{"", "dead", "hurt", "scratched", "mended", "loss", "waste", "singed"}).Draw(t, "category")
		}
		if e.Kind == Import {
			e.From = rapid.SampledFrom([]string{"", "X", "Y", "Z"}).Draw(t, "from")
		}
		c.Events = append(c.Events, e)
	}
	return c
}

// TestAnyStory: an unknown place is never answered with yes, a final mark is
// always answered with no, one more mark never makes the answer milder unless it
// lifts another, and every finding names events that there are.
func TestAnyStory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyStory(t)
		r := read(t, c)
		if c.Jurisdiction == "Q" && (r.MayReturn == Yes || r.MayReturn == AfterInspection) {
			t.Fatalf("unknown place: %s", r.MayReturn)
		}
		for _, e := range c.Events {
			if (e.Kind == Scrapped || e.Kind == Destroyed) && r.MayReturn != No {
				t.Fatalf("%s, but %s", e.Kind, r.MayReturn)
			}
		}
		if r.MayReturn == No && r.Stops == 0 {
			t.Fatal("no without a finding that stops")
		}
		for _, f := range r.Findings {
			if len(f.Events) != len(f.Numbers) || f.Source == "" {
				t.Fatalf("finding %+v", f)
			}
			for _, n := range f.Numbers {
				if n < 1 || n > len(c.Events) {
					t.Fatalf("finding names event %d of %d", n, len(c.Events))
				}
			}
		}
		more := c
		more.Events = append(slices.Clone(c.Events), Event{Date: c.Today, Kind: WriteOff, Category: "hurt"})
		if harder := read(t, more); slices.Index(hardness, harder.MayReturn) < slices.Index(hardness, r.MayReturn) {
			t.Fatalf("one more mark made %s of %s", harder.MayReturn, r.MayReturn)
		}
	})
}

// TestOtherUnit: the same story in kilometres has the same findings about falls
// and slips.
func TestOtherUnit(t *testing.T) {
	miles := caseOf("X", "2019-06-01;odometer;61155", "2020-06-01;odometer;6800", "2021-06-01;odometer;75000", "2022-06-01;odometer;52000")
	km := miles
	km.Vehicle.DistanceUnit = Kilometres
	km.Events = slices.Clone(miles.Events)
	for i := range km.Events {
		km.Events[i].Unit = Miles
	}
	if a, b := rulesOf(read(t, miles)), rulesOf(read(t, km)); a != b || a != "odometer-falls odometer-slip" {
		t.Errorf("%q in miles, %q in kilometres", a, b)
	}
}

func TestMistakes(t *testing.T) {
	for want, spoil := range map[string]func(*Case){
		"jurisdiction":                   func(c *Case) { c.Jurisdiction = "" },
		"first use: is missing":          func(c *Case) { c.Vehicle.FirstUsed = time.Time{} },
		"first use: 2027-01-01":          func(c *Case) { c.Vehicle.FirstUsed = on("2027-01-01") },
		"distance unit":                  func(c *Case) { c.Vehicle.DistanceUnit = "leagues" },
		"lies in the future":             func(c *Case) { c.Events[0].Date = on("2026-06-02") },
		"before the first use":           func(c *Case) { c.Events[0].Date = on("2012-04-30") },
		"kind \"wedding\"":               func(c *Case) { c.Events[0].Kind = "wedding" },
		"the date is missing":            func(c *Case) { c.Events[0].Date = time.Time{} },
		"reading -1 cannot be":           func(c *Case) { c.Events[0].Odometer = new(-1.0) },
		"reading NaN cannot be":          func(c *Case) { c.Events[0].Odometer = new(math.NaN()) },
		"the reading is missing":         func(c *Case) { c.Events[0] = Event{Date: on("2020-01-01"), Kind: Odometer} },
		"unit \"m\"":                     func(c *Case) { c.Events[0].Unit = "m" },
		"result \"maybe\"":               func(c *Case) { c.Events[0].Result = "maybe" },
		"a result stands at something":   func(c *Case) { c.Events[0].Kind, c.Events[0].Result = Service, Pass },
		"a country of origin stands":     func(c *Case) { c.Events[0].From = "US" },
		"a category stands at something": func(c *Case) { c.Events[0].Category = "S" },
	} {
		c := caseOf("X", "2020-01-01;inspection;1000")
		spoil(&c)
		_, err := Read(c, testRules())
		var wrong *InputError
		if !errors.As(err, &wrong) || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", want, err)
		}
	}
	rules := testRules()
	rules.Rules = rules.Rules[1:]
	if _, err := Read(caseOf("X"), rules); err == nil || !strings.Contains(err.Error(), "is missing") {
		t.Errorf("a rule less: %v", err)
	}
	rules = testRules()
	rules.Rules[0].Severity = "dire"
	if err := rules.Validate(); err == nil {
		t.Error("a severity that is none")
	}
	rules = testRules()
	for i := range rules.Rules {
		rules.Rules[i].Limits = nil
	}
	if err := rules.Validate(); err == nil || !strings.Contains(err.Error(), "lacks the limit") {
		t.Errorf("no limits: %v", err)
	}
	rules = testRules()
	rules.Rules = append(rules.Rules, Rule{Key: "astrology", Severity: Note})
	if err := rules.Validate(); err == nil || !strings.Contains(err.Error(), "not applied anywhere") {
		t.Errorf("a rule too many: %v", err)
	}
}

// Where a mark became milder the harder one's way back is the one that is given.
func TestMilderMarkGivesNoEasierWayBack(t *testing.T) {
	r := read(t, caseOf("X", "2019-01-01;write-off;cat=hurt", "2020-01-01;write-off;cat=scratched"))
	if do, tell := fmt.Sprint(r.MustDo), fmt.Sprint(r.MustDisclose); !strings.Contains(do, "Have it inspected.") || strings.Contains(do, "Mend it.") || !strings.Contains(tell, "scratched") {
		t.Errorf("do %s, tell %s", do, tell)
	}
}
