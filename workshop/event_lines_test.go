package workshop

import (
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/rebuild"
)

func TestReadEventLines(t *testing.T) {
	text := `2013-04-30 inspection 7,400 mi pass

11.02.2019  write-off  category S - front left, in a ditch
30/04/2013 keeper change
3 May 2014 odometer 12.000km
2020-01-02 finance settled paid off early
2015-06-01 import from US
2014-06-01 sale in london, in US
2016-01-02 write-off category certificate of destruction, in DE
2016-01-03 write-off category "frame bent twice" left
2016-01-04 odometer 112 400 km
2016-01-05 write off S front left
2016-01-06 written off s
2016-01-07 write-off A heavy hit
2016-01-08 write-off certificate of destruction, in DE
2016-01-09	MOT	21000	pass
2016-01-10 write-off front left, cat N
`
	events, problems := ReadEventLines(text, false)
	if len(problems) > 0 {
		t.Fatalf("problems: %v", problems)
	}
	want := []rebuild.HistoryEvent{
		{On: "2013-04-30", Kind: rebuild.EventInspection, Odometer: new(int64(7400)), Unit: "mi", Result: "pass"},
		{On: "2019-02-11", Kind: rebuild.EventWriteOff, Category: "S", Note: "front left, in a ditch"},
		{On: "2013-04-30", Kind: rebuild.EventKeeperChange},
		{On: "2014-05-03", Kind: rebuild.EventOdometer, Odometer: new(int64(12000)), Unit: "km"},
		{On: "2020-01-02", Kind: rebuild.EventFinanceSettled, Note: "paid off early"},
		{On: "2015-06-01", Kind: rebuild.EventImport, From: "US"},
		{On: "2014-06-01", Kind: rebuild.EventSale, Jurisdiction: "US", Note: "in london"},
		{On: "2016-01-02", Kind: rebuild.EventWriteOff, Category: "certificate of destruction", Jurisdiction: "DE"},
		{On: "2016-01-03", Kind: rebuild.EventWriteOff, Category: "frame bent twice", Note: "left"},
		{On: "2016-01-04", Kind: rebuild.EventOdometer, Odometer: new(int64(112400)), Unit: "km"},
		{On: "2016-01-05", Kind: rebuild.EventWriteOff, Category: "S", Note: "front left"},
		{On: "2016-01-06", Kind: rebuild.EventWriteOff, Category: "S"},
		{On: "2016-01-07", Kind: rebuild.EventWriteOff, Note: "A heavy hit"},
		{On: "2016-01-08", Kind: rebuild.EventWriteOff, Category: "certificate of destruction", Jurisdiction: "DE"},
		{On: "2016-01-09", Kind: rebuild.EventInspection, Odometer: new(int64(21000)), Result: "pass"},
		{On: "2016-01-10", Kind: rebuild.EventWriteOff, Category: "N", Note: "front left"},
	}
	if !reflect.DeepEqual(events, want) {
		t.Errorf("got  %+v\nwant %+v", events, want)
	}
	american, _ := ReadEventLines("04/30/2013 sale", true)
	if len(american) != 1 || american[0].On != "2013-04-30" {
		t.Errorf("04/30/2013 with the month first is %+v", american)
	}
}

func TestReadEventLinesSaysWhatIsWrong(t *testing.T) {
	for line, want := range map[string]string{
		"inspection 7400":                            "does not begin with a day",
		"2013-04-30":                                 "after the day comes what happened",
		"2013-04-30 dance":                           "after the day comes what happened",
		"2013-13-30 sale":                            "does not begin with a day",
		"2013-04-30 odometer 7x4":                    "no odometer reading",
		"2013-04-30 odometer 7400.5":                 "no odometer reading",
		"2013-04-30 odometer 7.4":                    "no odometer reading",
		"2013-04-30 salesman 12":                     "after the day comes what happened",
		"2013-04-30 odometer 9999999999999999999999": "no odometer reading",
	} {
		_, problems := ReadEventLines("\n"+line, false)
		if len(problems) != 1 || !strings.Contains(problems[0].Text, want) || !strings.Contains(problems[0].Text, "line 2") {
			t.Errorf("%q: problems %v, want one on line 2 with %q", line, problems, want)
		}
	}
}

// What was read is written so that it is read the same again.
func TestEventLinesRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := rebuild.HistoryEvent{
			On:     rapid.StringMatching(`20[01][0-9]-0[1-9]-[12][0-8]`).Draw(t, "day"),
			Kind:   rapid.SampledFrom(rebuild.HistoryKinds).Draw(t, "kind"),
			Result: rapid.SampledFrom([]string{"", "pass", "fail"}).Draw(t, "result"),
			Note:   rapid.StringMatching(`([a-z]{1,8}( [a-z]{1,8}){0,3})?`).Draw(t, "note"),
		}
		if rapid.Bool().Draw(t, "read") {
			e.Odometer = new(rapid.Int64Range(0, 9_999_999).Draw(t, "odometer"))
			e.Unit = rapid.SampledFrom([]string{"", "mi", "km"}).Draw(t, "unit")
		}
		e.Jurisdiction = rapid.SampledFrom([]string{"", "US", "CA-ON", "New Elsewhere"}).Draw(t, "place")
		e.Category = rapid.SampledFrom([]string{"", "S", "N", "SWO", "salvage", "economic total loss", "something else: bent", "end,"}).Draw(t, "category")
		text := EventLines([]rebuild.HistoryEvent{e})
		back, problems := ReadEventLines(text, false)
		if len(problems) > 0 || len(back) != 1 || !reflect.DeepEqual(back[0], e) {
			t.Fatalf("%q came back as %+v (%v), want %+v", text, back, problems, e)
		}
	})
}

func FuzzReadEventLines(f *testing.F) {
	f.Add("2013-04-30 inspection 7,400 mi pass\n11.02.2019 write-off category S - x")
	f.Fuzz(func(t *testing.T, text string) {
		events, problems := ReadEventLines(text, false)
		if len(events) > mostEventLines {
			t.Fatalf("%d events, %d problems", len(events), len(problems))
		}
	})
}
