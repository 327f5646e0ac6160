package rebuild_test

import (
	"math"
	"strings"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func TestCarRules(t *testing.T) {
	cases := []struct {
		name        string
		edit        func(*rebuild.Car)
		field, says string
	}{
		{"as it should be", func(*rebuild.Car) {}, "", ""},
		{"little is known", func(c *rebuild.Car) {
			*c = rebuild.Car{Name: "x", Jurisdiction: "DE", DistanceUnit: "km", Currency: "EUR"}
		}, "", ""},
		{"no name", func(c *rebuild.Car) { c.Name = "" }, "name", "missing"},
		{"a long name", func(c *rebuild.Car) { c.Name = strings.Repeat("ä", 81) }, "name", "81 characters; at most 80"},
		{"a name of 80 letters", func(c *rebuild.Car) { c.Name = strings.Repeat("ä", 80) }, "", ""},
		{"broken text", func(c *rebuild.Car) { c.Maker = "\xff" }, "maker", "not valid text"},
		{"a control character", func(c *rebuild.Car) { c.Model = "a\x00b" }, "model", "control character"},
		{"lines in a note", func(c *rebuild.Car) { c.Note = "one\r\n\ttwo" }, "", ""},
		{"a year before cars", func(c *rebuild.Car) { c.Year = 1885 }, "year", "1886"},
		{"the first year of cars", func(c *rebuild.Car) { c.Year = 1886 }, "", ""},
		{"a long VIN", func(c *rebuild.Car) { c.VIN = strings.Repeat("A", 18) }, "vin", "at most 17"},
		{"an unknown place", func(c *rebuild.Car) { c.Jurisdiction = "Mars" }, "jurisdiction", "one of: UK"},
		{"an unknown unit", func(c *rebuild.Car) { c.DistanceUnit = "leagues" }, "distance_unit", "km, mi"},
		{"a negative distance", func(c *rebuild.Car) { c.Distance = -1 }, "distance", "between 0"},
		{"a day of no calendar", func(c *rebuild.Car) { c.BoughtOn = "2026-02-29" }, "bought_on", "write it like"},
		{"a leap day", func(c *rebuild.Car) { c.BoughtOn = "2024-02-29" }, "", ""},
		{"a day written otherwise", func(c *rebuild.Car) { c.WantedBy = "1/9/2026" }, "wanted_by", "write it like"},
		{"a ceiling in other money", func(c *rebuild.Car) { c.Ceiling = amount.New(5, "EUR") }, "ceiling", "kept in GBP"},
		{"a ceiling below zero", func(c *rebuild.Car) { c.Ceiling = amount.New(-5, "GBP") }, "ceiling", "below zero"},
		{"too large a ceiling", func(c *rebuild.Car) { c.Ceiling = amount.New(amount.MaxMinor, "GBP") }, "ceiling", "too large"},
		{"an hour below zero", func(c *rebuild.Car) { c.HourValue = amount.New(-1, "GBP") }, "hour_value", "between 0 and 1000000"},
		{"more hours than a week has", func(c *rebuild.Car) { c.HoursPerWeek = 169 }, "hours_per_week", "168"},
		{"hours that are no number", func(c *rebuild.Car) { c.HoursPerWeek = math.NaN() }, "hours_per_week", "168"},
		{"a common factor of one", func(c *rebuild.Car) { c.Correlation = 1 }, "correlation", "0.95"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			car := goodCar()
			c.edit(&car)
			complains(t, car.Validate(), c.field, c.says)
		})
	}
	car := goodCar()
	car.Currency, car.Ceiling, car.HourValue = "QQQ", amount.Amount{}, amount.Amount{}
	complains(t, car.Validate(), "currency", "ISO 4217")
}

func TestZoneAndStageRules(t *testing.T) {
	zones := []struct {
		name        string
		zone        rebuild.Zone
		field, says string
	}{
		{"closed", rebuild.Zone{Number: 1}, "", ""},
		{"half open", rebuild.Zone{Number: 24, OpenShare: 0.5, HiddenExpected: 2, HiddenCost: uncertain.Range{Low: 1, Likely: 2, High: 3}}, "", ""},
		{"no such zone", rebuild.Zone{Number: 25}, "zone", "no zone 25"},
		{"more than open", rebuild.Zone{Number: 1, OpenShare: 1.1}, "open_share", "100 %"},
		{"open by no number", rebuild.Zone{Number: 1, OpenShare: math.NaN()}, "open_share", "100 %"},
		{"fewer than none", rebuild.Zone{Number: 1, HiddenExpected: -1, HiddenCost: uncertain.Certain(1)}, "hidden_expected", "between 0 and 100"},
		{"faults without a cost", rebuild.Zone{Number: 1, HiddenExpected: 1}, "hidden_cost", "Three figures"},
		{"a range out of order", rebuild.Zone{Number: 1, HiddenCost: uncertain.Range{Low: 3, Likely: 2, High: 4}}, "hidden_cost", "low"},
	}
	for _, c := range zones {
		t.Run(c.name, func(t *testing.T) { complains(t, c.zone.Validate(), c.field, c.says) })
	}
	stages := []struct {
		name        string
		stage       rebuild.Stage
		field, says string
	}{
		{"ahead", rebuild.Stage{Number: 1, State: rebuild.StageAhead}, "", ""},
		{"done", rebuild.Stage{Number: 9, State: rebuild.StageDone, DoneOn: "2026-01-01"}, "", ""},
		{"done some day", rebuild.Stage{Number: 9, State: rebuild.StageDone}, "done_on", "missing"},
		{"no such stage", rebuild.Stage{Number: 10, State: rebuild.StageAhead}, "stage", "no stage 10"},
		{"no such state", rebuild.Stage{Number: 1, State: "asleep"}, "state", "under way"},
	}
	for _, c := range stages {
		t.Run(c.name, func(t *testing.T) { complains(t, c.stage.Validate(), c.field, c.says) })
	}
}

func TestFindingRules(t *testing.T) {
	photo := rebuild.Attachment{Hash: strings.Repeat("0a", 32), MediaType: "image/png", Size: 1}
	cases := []struct {
		name        string
		edit        func(*rebuild.Finding)
		field, says string
	}{
		{"as it should be", func(f *rebuild.Finding) { f.Photos = []rebuild.Attachment{photo} }, "", ""},
		{"no words", func(f *rebuild.Finding) { f.What = "" }, "what", "missing"},
		{"no zone", func(f *rebuild.Finding) { f.Zone = "" }, "zone", "tap one"},
		{"an unknown way", func(f *rebuild.Finding) { f.HowFound = "dreamt" }, "how_found", "seen"},
		{"an unknown severity", func(f *rebuild.Finding) { f.Severity = "" }, "severity", "cosmetic"},
		{"no day", func(f *rebuild.Finding) { f.On = "" }, "on", "missing"},
		{"a day long ago", func(f *rebuild.Finding) { f.On = "1969-12-31" }, "on", "1970"},
		{"a photo without content", func(f *rebuild.Finding) { f.Photos = []rebuild.Attachment{photo, {MediaType: "image/png"}} }, "photos.2", "no content hash"},
		{"a path for a hash", func(f *rebuild.Finding) {
			f.Photos = []rebuild.Attachment{{Hash: strings.Repeat("../", 21) + "a", MediaType: "image/png"}}
		}, "photos.1", "no content hash"},
		{"too many photos", func(f *rebuild.Finding) {
			for range 201 {
				f.Photos = append(f.Photos, photo)
			}
		}, "photos", "at most 200"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := goodFinding()
			c.edit(&f)
			complains(t, f.Validate(), c.field, c.says)
		})
	}
}

func TestJobRules(t *testing.T) {
	cases := []struct {
		name        string
		edit        func(*rebuild.Job)
		field, says string
	}{
		{"as it should be", func(*rebuild.Job) {}, "", ""},
		{"no zone, no stage, no route", func(j *rebuild.Job) { j.Zone, j.Stage, j.Routes = "", 0, nil }, "", ""},
		{"no title", func(j *rebuild.Job) { j.Title = "" }, "title", "missing"},
		{"an unknown zone", func(j *rebuild.Job) { j.Zone = "attic" }, "zone", "attic"},
		{"an unknown stage", func(j *rebuild.Job) { j.Stage = 10 }, "stage", "10"},
		{"an unknown class", func(j *rebuild.Job) { j.Safety = "" }, "safety", "brake"},
		{"needed for more than certain", func(j *rebuild.Job) { j.Needed = 1.5 }, "needed", "150 %"},
		{"21 routes", func(j *rebuild.Job) {
			for range 20 {
				j.Routes = append(j.Routes, goodRoute())
			}
		}, "routes", "at most 20"},
		{"a choice that is none", func(j *rebuild.Job) { j.Chosen = 7 }, "chosen", "not among"},
		{"a reference in other money", func(j *rebuild.Job) { j.Reference = amount.New(5, "EUR") }, "reference", "kept in GBP"},
		{"a reference below zero", func(j *rebuild.Job) { j.Reference = amount.New(-5, "GBP") }, "reference", "below zero"},
		{"done some day", func(j *rebuild.Job) { j.State = rebuild.JobDone }, "done_on", "missing"},
		{"done", func(j *rebuild.Job) { j.State, j.DoneOn = rebuild.JobDone, "2026-02-01" }, "", ""},
		{"proven by words", func(j *rebuild.Job) { j.State, j.DoneOn, j.Proof = rebuild.JobProven, "2026-02-01", "run-out 0.02 mm" }, "", ""},
		{"proven by a photo", func(j *rebuild.Job) {
			j.State, j.DoneOn = rebuild.JobProven, "2026-02-01"
			j.Proofs = []rebuild.Attachment{{Hash: strings.Repeat("0a", 32), MediaType: "image/png"}}
		}, "", ""},
		{"an unknown state", func(j *rebuild.Job) { j.State = "asleep" }, "state", "waiting"},
		{"hours below zero", func(j *rebuild.Job) { j.HoursSpent = -1 }, "hours_spent", "between 0"},
		{"an unnamed route", func(j *rebuild.Job) { j.Routes[0].Name = "" }, "routes.1.name", "missing"},
		{"an unknown kind of route", func(j *rebuild.Job) { j.Routes[0].Kind = "wish" }, "routes.1.kind", "repair"},
		{"an unknown method", func(j *rebuild.Job) { j.Routes[0].Method = "" }, "routes.1.method", "plain"},
		{"a cost out of order", func(j *rebuild.Job) { j.Routes[0].Cost.Low = 250 }, "routes.1.cost", "above likely"},
		{"a cost below zero", func(j *rebuild.Job) { j.Routes[0].Cost = uncertain.Range{Low: -1, Likely: 1, High: 2} }, "routes.1.cost", "negative"},
		{"endless hours", func(j *rebuild.Job) { j.Routes[0].Hours.High = math.Inf(1) }, "routes.1.hours", "infinite"},
		{"a slipped finger", func(j *rebuild.Job) { j.Routes[0].Cost.High = 1e9 }, "routes.1.cost", "100000000"},
		{"may fail, and then?", func(j *rebuild.Job) { j.Routes[0].Works = 0.9 }, "routes.1.fallback", "needs a fallback"},
		{"may fail with a fallback", func(j *rebuild.Job) { j.Routes[0].Works, j.Routes[0].Fallback = 0.9, &rebuild.Fallback{} }, "", ""},
		{"a bad fallback", func(j *rebuild.Job) {
			j.Routes[0].Works, j.Routes[0].Fallback = 0.9, &rebuild.Fallback{Hours: uncertain.Range{Low: 1}}
		}, "routes.1.fallback.hours", "above likely"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			j := goodJob()
			c.edit(&j)
			complains(t, j.Validate("GBP"), c.field, c.says)
		})
	}
}

func TestEntryRules(t *testing.T) {
	cases := []struct {
		name        string
		edit        func(*rebuild.Entry)
		field, says string
	}{
		{"as it should be", func(*rebuild.Entry) {}, "", ""},
		{"money back", func(e *rebuild.Entry) { e.Amount, e.Tax = amount.New(-120, "GBP"), amount.New(-20, "GBP") }, "", ""},
		{"no tax said", func(e *rebuild.Entry) { e.Tax = amount.Amount{} }, "", ""},
		{"no day", func(e *rebuild.Entry) { e.On = "" }, "on", "missing"},
		{"other money", func(e *rebuild.Entry) { e.Amount = amount.New(24_000, "EUR") }, "amount", "kept in GBP"},
		{"more tax than sum", func(e *rebuild.Entry) { e.Tax = amount.New(24_001, "GBP") }, "tax", "more than the amount"},
		{"tax the other way", func(e *rebuild.Entry) { e.Tax = amount.New(-4_000, "GBP") }, "tax", "same sign"},
		{"an unknown kind", func(e *rebuild.Entry) { e.Kind = "gift" }, "kind", "part"},
		{"for nothing, to nobody", func(e *rebuild.Entry) { e.What, e.Supplier = "", "" }, "what", "say what it was for"},
		{"only who was paid", func(e *rebuild.Entry) { e.What = "" }, "", ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			e := goodEntry()
			c.edit(&e)
			complains(t, e.Validate("GBP"), c.field, c.says)
		})
	}
	e := goodEntry()
	e.Amount, e.Tax = amount.Amount{}, amount.Amount{}
	complains(t, e.Validate("GBP"), "amount", "missing")
}

// TestAWholeRebuildIsChecked hurts a sound rebuild in ways that edits cannot.
func TestAWholeRebuildIsChecked(t *testing.T) {
	cases := []struct {
		name        string
		hurt        func(*rebuild.Rebuild)
		field, says string
	}{
		{"sound", func(*rebuild.Rebuild) {}, "", ""},
		{"no number", func(r *rebuild.Rebuild) { r.ID = 0 }, "id", "above zero"},
		{"no version", func(r *rebuild.Rebuild) { r.Version = 0 }, "version", "above zero"},
		{"a zone too few", func(r *rebuild.Rebuild) { r.Zones = r.Zones[1:] }, "zones", "23 zones instead of 24"},
		{"a stage too few", func(r *rebuild.Rebuild) { r.Stages = r.Stages[1:] }, "stages", "8 stages"},
		{"stages out of order", func(r *rebuild.Rebuild) { r.Stages[0].Number, r.Stages[1].Number = 2, 1 }, "stage", "order"},
		{"a bad car", func(r *rebuild.Rebuild) { r.Car.Name = "" }, "car.1.name", "missing"},
		{"a bad appraisal", func(r *rebuild.Rebuild) { r.Appraisal.Confidence = 0 }, "appraisal.1.confidence", "appraisal 1"},
		{"a bad finding", func(r *rebuild.Rebuild) { r.Findings[1].What = "" }, "finding.2.what", "finding 2"},
		{"a revision below zero", func(r *rebuild.Rebuild) { r.Jobs[0].Rev = -1 }, "rev", "below zero"},
		{"a finding that is gone", func(r *rebuild.Rebuild) { r.Findings = r.Findings[:1] }, "job.3.findings", "finding 2 is not there"},
		{"an entry of no job", func(r *rebuild.Rebuild) { r.Entries[1].JobID = 99 }, "entry.7.job", "job 99"},
		{"a number used twice", func(r *rebuild.Rebuild) { r.Jobs[0].Routes[0].ID = 7 }, "route", "belongs to something else"},
		{"a number not given yet", func(r *rebuild.Rebuild) { r.NextID = 7 }, "next_id", "entry 7"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			r := furnished(t)
			c.hurt(r)
			complains(t, r.Validate(), c.field, c.says)
		})
	}
}
