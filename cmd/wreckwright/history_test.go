package main

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"wreckwright/appraise/history"
	"wreckwright/casefile"
	"wreckwright/outside"
	"wreckwright/workshop"
)

var november = time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)

// story reads a story of a car first used on 2012-05-01 by the rules that the
// program has.
func story(t *testing.T, place, events string) history.Result {
	t.Helper()
	text := "jurisdiction: " + place + "\nvehicle: {first_used: 2012-05-01, distance_unit: mi}\nevents: [" + events + "]\n"
	file, err := casefile.Parse("story.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	c, err := readHistoryCase(file, november)
	if err != nil {
		t.Fatal(err)
	}
	r, err := history.Read(c, workshop.HistoryRules())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestLawOfTheRoad holds the data against what each source says of its mark.
func TestLawOfTheRoad(t *testing.T) {
	road := func(place, category string) string {
		return story(t, place, "{date: 2019-03-01, kind: write-off, category: "+category+"}").MayReturn
	}
	destroyed := func(place string) string { return story(t, place, "{date: 2019-03-01, kind: destroyed}").MayReturn }
	rebuilt := func(place string) string {
		return story(t, place, "{date: 2018-03-01, kind: write-off, category: Salvage}, {date: 2019-03-01, kind: registration, category: Rebuilt}").MayReturn
	}
	foreign := func(place, from, category string) string {
		return story(t, place, "{date: 2018-03-01, kind: write-off, category: "+category+"}, {date: 2019-03-01, kind: import, from: "+from+"}").MayReturn
	}
	outside.CheckText(t, []outside.TextCase{
		{Source: "GOVUK_WRITEOFF", Where: "insurance write-offs", What: "A", Got: road("UK", "A"), Want: "no"},
		{Source: "GOVUK_WRITEOFF", Where: "insurance write-offs", What: "B", Got: road("UK", "Cat B"), Want: "no"},
		{Source: "GOVUK_WRITEOFF", Where: "insurance write-offs", What: "S", Got: road("UK", "S"), Want: "yes"},
		{Source: "GOVUK_WRITEOFF", Where: "insurance write-offs", What: "N", Got: road("UK", "category n"), Want: "yes"},
		{Source: "GOVUK_WRITEOFF", Where: "older edition, category C", What: "C", Got: road("UK", "C"), Want: "yes"},
		{Source: "GOVUK_WRITEOFF", Where: "older edition, category D", What: "D", Got: road("UK", "D"), Want: "yes"},
		{Source: "RSA_WRITTEN_OFF", Where: "categories A and B", What: "B", Got: road("IE", "B"), Want: "no"},
		{Source: "RSA_WRITTEN_OFF", Where: "categories A and B", What: "B imported from the UK", Got: foreign("IE", "UK", "B"), Want: "no"},
		{Source: "RSA_WRITTEN_OFF", Where: "financial write-offs", What: "financial write-off", Got: road("IE", "financial write-off"), Want: "yes"},
		{Source: "RSA_WRITTEN_OFF", Where: "financial write-offs", What: "S imported from the UK", Got: foreign("IE", "UK", "S"), Want: "yes"},
		{Source: "FZV", Where: "s. 17", What: "handed over for recovery", Got: road("DE", "Verwertungsnachweis"), Want: "no"},
		{Source: "FZV", Where: "s. 16(2)", What: "economic total loss, no category", Got: story(t, "DE", "{date: 2019-03-01, kind: write-off}").MayReturn, Want: "yes"},
		{Source: "EU_2000_53", Where: "art. 5(3)", What: "certificate of destruction", Got: road("EU", "certificate of destruction"), Want: "no"},
		{Source: "EU_2000_53", Where: "art. 5(3)", What: "destroyed", Got: destroyed("EU"), Want: "no"},
		{Source: "CFR_28_25", Where: "25.52", What: "junk", Got: road("US", "junk"), Want: "no"},
		{Source: "CFR_28_25", Where: "25.52", What: "salvage", Got: road("US", "Salvage"), Want: "after inspection"},
		{Source: "TX_501", Where: "501.09112", What: "nonrepairable", Got: road("US", "non-repairable"), Want: "no"},
		{Source: "NMVTIS_GLOSSARY", Where: "brands", What: "rebuilt", Got: rebuilt("US"), Want: "yes"},
		{Source: "O_REG_376_02", Where: "brands", What: "Irreparable", Got: road("CA-ON", "Irreparable"), Want: "no"},
		{Source: "O_REG_376_02", Where: "brands", What: "Salvage", Got: road("CA-ON", "Salvage"), Want: "after inspection"},
		{Source: "O_REG_376_02", Where: "brands", What: "Rebuilt", Got: rebuilt("CA-ON"), Want: "yes"},
		{Source: "O_REG_376_02", Where: "brands", What: "Rebuilt in the US is Salvage here", Got: foreign("CA-ON", "US", "Rebuilt"), Want: "after inspection"},
		{Source: "BC_MVA_REGS", Where: "division 25 part 3", What: "Non-repairable", Got: road("CA-BC", "Non-repairable"), Want: "no"},
		{Source: "BC_MVA_REGS", Where: "division 25 part 3", What: "Salvage", Got: road("CA-BC", "Salvage"), Want: "after inspection"},
		{Source: "BC_MVA_REGS", Where: "division 25 part 3", What: "Rebuilt", Got: rebuilt("CA-BC"), Want: "yes"},
		{Source: "VIC_RSA_1986", Where: "schedule 6", What: "statutory write-off", Got: road("AU", "SWO"), Want: "no"},
		{Source: "NSW_RTA_2013", Where: "written-off vehicles", What: "repairable write-off", Got: road("AU", "repairable write-off"), Want: "after inspection"},
		{Source: "DESIGN_HISTORY", Where: "unknown is never yes", What: "a place that is not known", Got: road("FR", "VEI"), Want: "unknown"},
		{Source: "DESIGN_HISTORY", Where: "unknown is never yes", What: "a mark that is not known", Got: road("UK", "X"), Want: "unknown"},
		{Source: "DESIGN_HISTORY", Where: "unknown is never yes", What: "a write-off in an unsaid member state", Got: road("EU", "total loss"), Want: "unknown"},
		{Source: "DESIGN_HISTORY", Where: "unknown is never yes", What: "an American brand in Europe", Got: foreign("DE", "US", "salvage"), Want: "unknown"},
	})
}

// everything is stories that together trip every rule.
var everything = []struct{ place, events string }{
	{"UK", "{date: 2016-01-01, kind: write-off, category: S}, {date: 2016-01-09, kind: inspection, result: pass, odometer: 40000}, {date: 2016-01-20, kind: plate change}, {date: 2016-02-01, kind: keeper change}, {date: 2016-03-01, kind: keeper change}, {date: 2016-04-01, kind: keeper change}, {date: 2017-11-01, kind: write-off, category: N}, {date: 2018-02-01, kind: write-off, category: S}"},
	{"UK", "{date: 2016-01-01, kind: write-off, category: B}, {date: 2017-01-01, kind: inspection, odometer: 1000}, {date: 2017-03-01, kind: write-off}, {date: 2017-03-02, kind: write-off, category: Q7}"},
	{"UK", "{date: 2014-01-01, kind: odometer, odometer: 50000}, {date: 2015-01-01, kind: odometer, odometer: 40000}, {date: 2016-01-01, kind: odometer, odometer: 90}, {date: 2017-01-01, kind: odometer, odometer: 45000}, {date: 2017-02-10, kind: odometer, odometer: 49000}, {date: 2017-05-01, kind: odometer, odometer: 58000}, {date: 2017-07-01, kind: odometer, odometer: 98000}, {date: 2018-07-01, kind: odometer, odometer: 60700}, {date: 2021-07-01, kind: odometer, odometer: 60900}, {date: 2022-07-01, kind: odometer, odometer: 89000}, {date: 2022-12-01, kind: odometer, odometer: 99000}, {date: 2023-12-01, kind: odometer, odometer: 2000}"},
	{"UK", "{date: 2014-01-01, kind: export}, {date: 2015-01-01, kind: inspection, odometer: 500}, {date: 2016-01-01, kind: stolen}, {date: 2016-02-01, kind: recovered}, {date: 2016-03-01, kind: recovered}, {date: 2017-01-01, kind: stolen}, {date: 2018-01-01, kind: finance settled}, {date: 2019-01-01, kind: finance}"},
	{"UK", "{date: 2014-01-01, kind: write-off, category: salvage}, {date: 2015-01-01, kind: import, from: US}"},
	{"UK", "{date: 2014-01-01, kind: odometer, odometer: 61155}, {date: 2015-01-01, kind: odometer, odometer: 38000}, {date: 2015-03-01, kind: odometer, odometer: 58000}"},
	{"US", "{date: 2014-01-01, kind: service, odometer: 5000}"},
	{"Elsewhere", "{date: 2014-01-01, kind: service}"},
}

// TestEveryRuleSpeaks trips every rule of the data once and looks for places in
// a text that were not filled in.
func TestEveryRuleSpeaks(t *testing.T) {
	spoken := map[string]bool{}
	for _, k := range everything {
		r := story(t, k.place, k.events)
		for _, f := range r.Findings {
			spoken[f.Rule] = true
			if strings.ContainsAny(f.Text, "{}") || f.Source == "" || f.AsAt == "" {
				t.Errorf("%s: %q [%s, %s]", f.Rule, f.Text, f.Source, f.AsAt)
			}
			if strings.Contains(f.Source, "HPA_1964") && !strings.Contains(f.Text, "from memory") {
				t.Errorf("%s does not say that it is from memory: %s", f.Rule, f.Text)
			}
		}
	}
	for _, rule := range workshop.HistoryRules().Rules {
		if rule.Key == "model-year" { // needs a model year, which these stories do not give
			continue
		}
		if !spoken[rule.Key] {
			t.Errorf("no story trips %s", rule.Key)
		}
	}
}

// TestPlacesHaveWholeDuties: every place that is known names its authority, and
// every category says what is needed and what must be told.
func TestPlacesHaveWholeDuties(t *testing.T) {
	rules := workshop.HistoryRules()
	if err := rules.Validate(); err != nil {
		t.Fatal(err)
	}
	for _, c := range rules.Categories {
		r := story(t, c.Jurisdiction, "{date: 2019-03-01, kind: write-off, category: "+c.Code+"}")
		if r.MayReturn != c.Road {
			t.Errorf("%s %s: %s, the table says %s", c.Jurisdiction, c.Code, r.MayReturn, c.Road)
		}
		if !strings.Contains(fmt.Sprint(r.MustDo), strings.TrimSuffix(c.First, ".")) || !strings.Contains(fmt.Sprint(r.MustDisclose), c.Tell) {
			t.Errorf("%s %s: first or tell is missing", c.Jurisdiction, c.Code)
		}
		for _, a := range c.Aliases {
			if again := story(t, c.Jurisdiction, "{date: 2019-03-01, kind: write-off, category: "+a+"}"); again.MayReturn != c.Road {
				t.Errorf("%s %s, also %s: %s", c.Jurisdiction, c.Code, a, again.MayReturn)
			}
		}
	}
}

// FuzzHistoryCase: whatever the file, a result or one well-formed mistake.
func FuzzHistoryCase(f *testing.F) {
	for _, k := range everything {
		f.Add("jurisdiction: " + k.place + "\nvehicle: {first_used: 2012-05-01, distance_unit: mi}\nevents: [" + k.events + "]\n")
	}
	f.Add("jurisdiction: UK\nvehicle: {first_used: 0001-01-01, distance_unit: km, model_year: 2011}\nbuyer: private\ntoday: 9999-12-31\nevents: [{date: 0001-01-02, kind: import, from: UK, category: x, unit: km, odometer: 0}]\n")
	f.Fuzz(func(t *testing.T, text string) {
		file, err := casefile.Parse("story.yaml", []byte(text))
		if err != nil {
			return
		}
		c, err := readHistoryCase(file, november)
		var wrong *casefile.Error
		if err != nil {
			if !errors.As(err, &wrong) || wrong.Problem == "" || wrong.Expected == "" {
				t.Fatalf("not a mistake of the file: %v", err)
			}
			return
		}
		if _, err := history.Read(c, workshop.HistoryRules()); err != nil {
			t.Fatalf("read well, but: %v", err)
		}
	})
}
