package chart

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"
)

var update = flag.Bool("update", false, "write the golden files anew")

func day(s string) time.Time {
	t, err := time.Parse(isoDate, s)
	if err != nil {
		panic(err)
	}
	return t
}

var pounds = Money{Symbol: "£"}

// bell is an invented heap of outcomes, skewed to the dear side.
func bell() []Bin {
	var bins []Bin
	sum := 0.0
	for i := range 44 {
		low := 27000 + float64(i)*500
		z := math.Log((low+250-24000)/10200) / 0.3
		bins = append(bins, Bin{low, low + 500, math.Exp(-z * z / 2)})
		sum += bins[i].Share
	}
	for i := range bins {
		bins[i].Share /= sum
	}
	return bins
}

func sampleDistribution() Figure {
	return NewDistribution(Distribution{
		Head: Head{ID: "total", Title: "What the whole will come to"}, Money: pounds, Bins: bell(),
		P10: 31000, P50: 34200, P80: 37300, P90: 39400, Ceiling: 38000, Spent: 21340,
	})
}

// sampleBroken has nothing spent: the outcomes would fill a corner of an axis from nought.
func sampleBroken() Figure {
	return NewDistribution(Distribution{
		Head: Head{ID: "start", Title: "What the whole will come to, at the start"}, Money: pounds, Bins: bell(),
		P10: 31000, P50: 34200, P80: 37300, P90: 39400, Ceiling: 38000, Spent: 0,
	})
}

func sampleFan() Figure {
	return NewFan(Fan{
		Head: Head{ID: "fan", Title: "Money over time"}, Money: pounds,
		Spent: []SpentPoint{
			{day("2026-01-12"), 9800},
			{day("2026-02-03"), 11200},
			{day("2026-02-20"), 12050},
			{day("2026-03-15"), 14900},
			{day("2026-04-20"), 16100},
			{day("2026-05-11"), 18800},
			{day("2026-06-30"), 20900},
			{day("2026-07-20"), 21340},
		},
		Earlier: []Outlook{
			{day("2026-01-20"), 24000, 33000, 46000},
			{day("2026-03-01"), 26500, 32500, 43500},
			{day("2026-05-01"), 30000, 35600, 43000},
			{day("2026-07-01"), 30600, 34500, 40400},
		},
		Today: day("2026-08-03"), P10: 31000, P50: 34200, P90: 39400,
		FinishP10: day("2026-10-28"), FinishP50: day("2026-11-21"), FinishP90: day("2027-01-15"), Ceiling: 38000,
	})
}

func sampleDrivers() Figure {
	return NewDrivers(Drivers{Head: Head{ID: "drivers", Title: "What drives the doubt"}, Items: []Driver{
		{"Hidden damage behind the front-left wing, inner sill and bulkhead", 0.31},
		{"Hydraulic power unit", 0.22},
		{"Front-left hub and damper", 0.14},
		{"Paint, six panels", 0.09},
		{"All other jobs", 0.24},
	}})
}

func sampleRoutes() []Range {
	return []Range{
		{Name: "Repair in own workshop", Low: 180, Likely: 260, High: 520, Expected: 610, Reference: 1450, Chosen: true},
		{Name: "Recondition by a specialist", Low: 480, Likely: 560, High: 700, Expected: 640, Reference: 1450},
		{Name: "Used, tested", Low: 350, Likely: 550, High: 900, Expected: 720, Reference: 1450},
		{Name: "New from the maker", Low: 1280, Likely: 1320, High: 1400, Expected: 1335, Reference: 1450},
	}
}

func sampleRanges() Figure {
	return NewRanges(Ranges{Head: Head{ID: "routes", Title: "Routes side by side"}, Money: pounds, Items: sampleRoutes()})
}

func sampleRangeBar() Figure {
	low, high := SharedScale(sampleRoutes())
	return NewRangeBar(Head{ID: "route-1", Title: "Repair in own workshop"}, pounds, sampleRoutes()[0], low, high)
}

func sampleProgress() Figure {
	return NewProgress(Progress{Head: Head{ID: "stages", Title: "Stages"}, Stages: []Stage{
		{"Buy", StageDone},
		{"Make safe", StageDone},
		{"Survey", StageDone},
		{"Diagnose", StageNow},
		{"Choose", StageWaiting},
		{"Strip and refit", StageAhead},
		{"Prove mechanically", StageAhead},
		{"Finish", StageAhead},
		{"Hand over", StageAhead},
	}})
}

func sampleCeilingBar() Figure {
	return NewCeilingBar(CeilingBar{
		Head: Head{ID: "bar", Title: "Money under the ceiling"}, Money: pounds,
		Spent: 21340, P50: 34200, P80: 37300, Ceiling: 38000,
	})
}

func sampleOverBar() Figure {
	return NewCeilingBar(CeilingBar{
		Head: Head{ID: "over", Title: "Money over the ceiling"}, Money: pounds,
		Spent: 31340, P50: 41200, P80: 44300, Ceiling: 38000,
	})
}

// sampleZones names every zone of the plan, as a page would.
func sampleZones() []ZoneMark {
	words := map[string][2]string{
		"front-bumper": {"Front bumper", "Bumper"}, "bonnet": {"Bonnet", ""}, "engine-bay": {"Engine bay", "Engine"},
		"front-left-wing": {"Front-left wing", "Wing"}, "front-right-wing": {"Front-right wing", "Wing"},
		"front-left-corner": {"Front-left corner", "Corner"}, "front-right-corner": {"Front-right corner", "Corner"},
		"windscreen": {"Windscreen", "Screen"}, "left-door": {"Left door", ""}, "right-door": {"Right door", ""},
		"cabin": {"Cabin", ""}, "roof": {"Roof", ""}, "left-sill": {"Left sill", ""}, "right-sill": {"Right sill", ""},
		"rear-left-quarter": {"Rear-left quarter", "Quarter"}, "rear-right-quarter": {"Rear-right quarter", "Quarter"},
		"rear-left-corner": {"Rear-left corner", "Corner"}, "rear-right-corner": {"Rear-right corner", "Corner"},
		"boot": {"Boot", ""}, "rear-bumper": {"Rear bumper", "Bumper"}, "underside": {"Underside", ""},
		"gearbox-tunnel": {"Gearbox and tunnel", ""}, "electrics": {"Electrics", ""}, "fluids": {"Fluids", ""},
	}
	states := map[string]ZoneMark{
		"front-left-wing": {Open: 4, State: ZoneOpen}, "front-left-corner": {Open: 6, Safety: 3, State: ZoneSafety},
		"front-bumper": {Open: 3, State: ZoneOpen}, "engine-bay": {Open: 2, Safety: 1, State: ZoneSafety},
		"left-door": {State: ZoneSettled}, "left-sill": {Open: 1, Safety: 1, State: ZoneSafety}, "boot": {State: ZoneClear},
		"roof": {State: ZoneClear}, "windscreen": {Open: 1, State: ZoneOpen}, "underside": {Open: 12, Safety: 2, State: ZoneSafety},
		"cabin": {Open: 2, Safety: 2, State: ZoneSafety}, "fluids": {State: ZoneSettled}, "electrics": {Open: 3, State: ZoneOpen},
		"right-door": {State: ZoneClear}, "rear-right-corner": {Open: 1, State: ZoneOpen}, "bonnet": {Open: 1, State: ZoneOpen},
	}
	var out []ZoneMark
	for _, key := range PlanKeys() {
		z := states[key]
		z.Key, z.Name, z.Short, z.Href = key, words[key][0], words[key][1], "/findings?zone="+key
		out = append(out, z)
	}
	return out
}

func samplePlan() Figure {
	return NewPlanView(sampleZones(), PlanOptions{Head{ID: "plan", Title: "Zones of the car"}})
}

// sampleTimeline is an invented story with every mark: a reading that falls, one off its pace, a gap, a dense cluster.
func sampleTimeline() Timeline {
	return Timeline{
		Head: Head{ID: "story", Title: "The car's story"}, Unit: "mi", Today: day("2026-09-01"), Linked: true,
		Events: []TimelineEvent{
			{day("2012-05-01"), "registration", "first used", EventPlain},
			{day("2015-04-20"), "inspection", "pass", EventPlain},
			{day("2016-04-22"), "inspection", "pass with two advisories", EventPlain},
			{day("2017-06-02"), "sale", "second keeper", EventPlain},
			{day("2019-02-11"), "write-off", "category S, structural", EventNote},
			{day("2019-03-20"), "plate change", "37 days after a write-off: the history may stand under the old plate", EventQuestion},
			{day("2019-03-28"), "keeper change", "", EventPlain},
			{day("2019-04-09"), "inspection", "fail", EventNote},
			{day("2019-04-11"), "inspection", "pass", EventPlain},
			{day("2023-08-14"), "inspection", "reading lower than in 2019", EventQuestion},
			{day("2026-06-30"), "finance", "not settled", EventStop},
			{time.Time{}, "import", "said by the seller, no paper", EventQuestion},
		},
		Readings: []OdometerReading{
			{day("2015-04-20"), 21400, ReadingSound},
			{day("2016-04-22"), 28900, ReadingSound},
			{day("2017-06-02"), 36100, ReadingSound},
			{day("2019-04-09"), 49800, ReadingSound},
			{day("2023-08-14"), 41200, ReadingFalls},
			{day("2024-08-20"), 68700, ReadingOffPace},
			{day("2026-06-30"), 74100, ReadingSound},
		},
		Gaps: []TimelineGap{{day("2019-04-11"), day("2023-08-14"), "4 years without a record"}},
	}
}

// sampleDense has as many events as a story may have, half of them within a month.
func sampleDense() Timeline {
	t := Timeline{Head: Head{ID: "dense", Title: "A crowded story"}, Unit: "km", Today: day("2026-09-01")}
	for i := range 60 {
		at := day("2014-02-03").AddDate(0, 0, 150*i)
		if i >= 30 {
			at = day("2023-03-01").AddDate(0, 0, i-30)
		}
		t.Events = append(t.Events, TimelineEvent{at, "service", "", eventWeights[i*7%11%4]})
	}
	return t
}

// sampleBids is an invented curve with a fee that falls at a band's edge: a higher bid is cheaper there.
func sampleBids() BidCurve {
	c := BidCurve{
		Head: Head{ID: "bids", Title: "What a bid leads to"}, Money: pounds, Wanted: 6000, Edges: []float64{28000},
		Marks: []BidMark{
			{BidCautious, 25550, 0.9},
			{BidChosen, 29650, 0.8},
			{BidEven, 33900, 0.5},
			{BidAsking, 37500, 0},
			{BidSafe, 27500, 0},
		},
	}
	bids := []float64{50}
	for b := 12000.0; b <= 48000; b += 600 {
		bids = append(bids, b)
	}
	for _, b := range append(bids, 27950, 28000) {
		fee := 0.13 * b
		if b >= 28000 {
			fee = 1400
		}
		profit := 41300 - b - fee
		c.Points = append(c.Points, BidPoint{b, 0.5 * math.Erfc((6000-profit)/(5000*math.Sqrt2)), profit})
	}
	return c
}

// samples holds every kind of figure, drawn from invented data.
func samples() map[string]Figure {
	return map[string]Figure{
		"distribution": sampleDistribution(), "fan": sampleFan(), "drivers": sampleDrivers(), "ranges": sampleRanges(),
		"range_bar": sampleRangeBar(), "progress": sampleProgress(), "ceiling_bar": sampleCeilingBar(),
		"ceiling_bar_over": sampleOverBar(), "plan_view": samplePlan(),
		"timeline": NewTimeline(sampleTimeline()), "timeline_dense": NewTimeline(sampleDense()), "bid_curve": NewBidCurve(sampleBids()),
		"distribution_broken": sampleBroken(),
		"body":                NewBodyView(sampleBody()), "body_tape": NewBodyView(sampleTape()),
		"wheels_above": sampleWheels(), "schedule": NewSchedule(sampleSchedule()),
		"empty": NewDistribution(Distribution{Head: Head{ID: "none", Title: "What the whole will come to"}, Money: pounds}),
	}
}

func TestGolden(t *testing.T) {
	for name, f := range samples() {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join("testdata", name+".html")
			got := string(f.HTML()) + "\n"
			switch name {
			case "plan_view":
				got += string(PlanKey()) + "\n"
			case "timeline":
				got += string(sampleTimeline().List()) + "\n"
			}
			if *update {
				if err := os.MkdirAll("testdata", 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("%s differs from the golden; look at the figure, then run with -update", name)
			}
		})
	}
}
