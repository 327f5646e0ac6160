package chart

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// sampleSchedule is an invented plan of five weeks.
func sampleSchedule() Schedule {
	by := 26.0
	return Schedule{
		Head: Head{ID: "plan-line", Title: "The plan"}, Start: day("2027-01-04"), Today: 2.4,
		Marks: []ScheduleMark{
			{Name: "Road test", Href: "/r/1/gates/road-test", Day: 24.8, Early: 22, Late: 33, By: &by, Chance: "63 %"},
			{Name: "Hand-over", Day: 36, Early: 33, Late: 47},
		},
		Bars: []ScheduleBar{
			{Name: "Strip the front left corner", Href: "/r/1/jobs/4", Kind: BarWork, From: 0, To: 2, Done: true},
			{Name: "Hub carrier from the breaker", Href: "/r/1/plan/deliveries/9", Kind: BarWait, From: 1, To: 17.5, Early: 12, Late: 23, Chain: 1},
			{Name: "Repair the helicoils of the upright", Href: "/r/1/jobs/5", Kind: BarWork, From: 2.75, To: 5.9, Early: 5.2, Late: 7.8},
			{Name: "Clean and paint the subframe", Href: "/r/1/jobs/7", Kind: BarWork, From: 8.75, To: 10.9, Early: 9.9, Late: 13},
			{Name: "Build the corner up again", Href: "/r/1/jobs/6", Kind: BarWork, From: 17.8, To: 20.9, Early: 19, Late: 27, Chain: 2},
			{Name: "Align the wheels", Kind: BarWork, From: 21, To: 22, Early: 21, Late: 29, Chain: 3},
			{Name: "Paint at the body shop", Kind: BarOutside, From: 28, To: 36, Early: 34, Late: 41, Chain: 4},
		},
	}
}

func drawnSchedule(t *rapid.T) Schedule {
	days := func(name string) float64 {
		return rapid.OneOf(rapid.Float64Range(-30, 400), rapid.SampledFrom([]float64{0, 7, 1e9, math.NaN(), math.Inf(1)})).Draw(t, name)
	}
	s := Schedule{
		Head: Head{ID: "any"}, Start: day(rapid.SampledFrom([]string{"2026-12-28", "2027-02-03", "2028-02-27"}).Draw(t, "start")),
		Today: days("today"), Weeks: rapid.IntRange(0, 9).Draw(t, "weeks"),
	}
	href := func() string { return rapid.SampledFrom([]string{"", "/r/1/jobs/3"}).Draw(t, "href") }
	for range rapid.IntRange(0, 12).Draw(t, "bars") {
		from := days("from")
		s.Bars = append(s.Bars, ScheduleBar{
			Name: rapid.String().Draw(t, "name"), Href: href(), Kind: rapid.SampledFrom([]BarKind{BarWork, BarWait, BarOutside, "odd <b>"}).Draw(t, "kind"),
			From: from, To: from + rapid.Float64Range(-1, 60).Draw(t, "long"), Early: days("early"), Late: days("late"),
			Chain: rapid.IntRange(0, 5).Draw(t, "chain"), Done: rapid.Bool().Draw(t, "done"),
		})
	}
	for range rapid.IntRange(0, 5).Draw(t, "marks") {
		m := ScheduleMark{Name: rapid.String().Draw(t, "mark"), Href: href(), Day: days("day"), Early: days("e"), Late: days("l"), Chance: rapid.SampledFrom([]string{"", "5 %", "less than 1 %"}).Draw(t, "chance")}
		if rapid.Bool().Draw(t, "wished") {
			by := days("by")
			m.By = &by
		}
		s.Marks = append(s.Marks, m)
	}
	return s
}

// Whatever the plan, nothing leaves the figure and no text lies over another.
func TestScheduleHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { holds(t, NewSchedule(drawnSchedule(t))) })
}

// Every bar that is not over stands in a week of its own days, and the weeks follow one another.
func TestWeeksHoldEveryBar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawnSchedule(t)
		weeks := s.weeks()
		for i, w := range weeks {
			if i > 0 && w.from != weeks[i-1].to || s.date(w.from).Weekday() != time.Monday {
				t.Fatalf("week %d goes from %g to %g", i, w.from, w.to)
			}
			for _, b := range w.bars {
				if b.From >= w.to || b.To < w.from {
					t.Fatalf("%g to %g stands in the week from %g", b.From, b.To, w.from)
				}
			}
		}
		for _, b := range s.bars() {
			if b.Done || s.inside(s.Today) && b.To < s.Today {
				continue
			}
			found := false
			for _, w := range weeks {
				for _, o := range w.bars {
					found = found || o == b
				}
				for _, name := range w.waits {
					found = found || name == b.Name
				}
			}
			if !found {
				t.Fatalf("%q from %g to %g stands in no week", b.Name, b.From, b.To)
			}
		}
	})
}

// What is hatched, outlined or faded is said in words too.
func TestScheduleSaysItInWords(t *testing.T) {
	s := sampleSchedule()
	html := string(NewSchedule(s).HTML())
	for _, want := range []string{
		"critical chain", "waiting", "done by somebody else", "in 9 of 10 cases by 27 Jan 2027", "wished by 30 Jan 2027", "chance 63 %",
		"Meanwhile: Hub carrier", `href="/r/1/jobs/5"`, "4 – 10 Jan",
	} {
		if !strings.Contains(html, want) {
			t.Errorf("the figure does not say %q", want)
		}
	}
	if strings.Count(html, "fig-chain") != 3 {
		t.Errorf("%d lines join four bars of the chain", strings.Count(html, "fig-chain"))
	}
	s.Bars = s.Bars[:1]
	s.Marks = nil
	if !strings.Contains(string(NewSchedule(s).SVG(Phone)), "Everything that was planned is done.") {
		t.Error("a plan in which all is done does not say so")
	}
}
