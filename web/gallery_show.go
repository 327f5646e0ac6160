package web

import (
	"html/template"
	"net/http"
	"time"

	"wreckwright/chart"
	"wreckwright/knowledge"
	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/working"
)

// galleryPage shows every part that pages are made of in every state, for working
// on their look. It is served while the program reads templates from a source
// folder, never else. All of its content is made up.
type galleryPage struct {
	Frame
	Plain, Refused *Form
	Options        []Option
	Cautions       []knowledge.Caution
	Working        working.Working
	Findings       []findingLine
	Photos         []rebuild.Attachment // of the book, where it has any
	Entry          entryForm
	Route          routeFields
	Figures        []template.HTML
}

func (s *Server) galleryShow(w http.ResponseWriter, r *http.Request) error {
	frame, err := s.frame(r, "Gallery", "now", nil)
	if err != nil {
		return err
	}
	rb := galleryRebuild(frame.Today)
	frame.Rebuild = rb
	frame.Did = &store.Record{ID: 1, Who: "workshop", What: `chose "New upright" for the job "Front left upright"`}
	frame.Undo, frame.Redo = frame.Did, &store.Record{ID: 2, Who: "Ines", What: `deleted the finding "Horn does not sound"`}
	page := galleryPage{
		Frame: frame, Plain: galleryForm("p-"), Refused: galleryForm("r-"), Cautions: knowledge.Cautions(),
		Options: []Option{{"one", "One"}, {"two", "The second"}, {"three", "Another that is a little longer"}},
		Entry:   newEntryForm(frame, &Form{}), Route: newRouteFields(&Form{}, "way.", rb.Car.Currency),
		Findings: findingLines(rb, rb.FindingStates(), findingFilter{}), Figures: galleryFigures(frame, rb),
	}
	page.Working.Add("expected", "chance x cost + (1 - chance) x (cost + fallback)", 412.5, "GBP", "own estimate")
	page.Working.Add("hours", "mean of the range", 12_345.678, "h", "common practice, no source")
	for _, name := range []string{"text", "lines", "list", "pick", "check", "range"} {
		page.Refused.problem("r-"+name, "what is wrong with it, and what was expected instead")
	}
	if page.Photos, err = s.galleryPhotos(r); err != nil {
		return err
	}
	return s.show(w, http.StatusOK, "gallery", page)
}

func galleryForm(prefix string) *Form {
	f := &Form{}
	f.Set(prefix+"text", "Typed")
	f.Set(prefix+"lines", "Two\nlines")
	f.Set(prefix+"list", "two")
	f.Set(prefix+"pick", "two")
	f.Set(prefix+"check", "1")
	f.Set(prefix+"range.low", "100")
	f.Set(prefix+"range.likely", "150")
	f.Set(prefix+"range.high", "320")
	return f
}

// galleryRebuild has a finding of every severity and in every state.
func galleryRebuild(today string) *rebuild.Rebuild {
	rb := &rebuild.Rebuild{Car: rebuild.Car{Name: "Gallery", Jurisdiction: "UK", Currency: "GBP", DistanceUnit: "mi", Ceiling: amount.New(3_800_000, "GBP")}}
	for i, what := range []string{"Cracked", "Scratched", "Loose", "A shadow in the photo"} {
		rb.Findings = append(rb.Findings, rebuild.Finding{ID: int64(i + 1), What: what, Zone: rebuild.ZonePlaces[i].Key, HowFound: rebuild.Seen, Severity: rebuild.Severities[3-i], Safety: i == 0, On: today})
	}
	rb.Findings[3].Dismissed = "it is none"
	rb.Jobs = []rebuild.Job{
		{ID: 11, Title: "Planned", Findings: []int64{2}, State: rebuild.JobOpen},
		{ID: 12, Title: "Settled", Findings: []int64{3}, State: rebuild.JobDone},
	}
	return rb
}

// galleryPhotos are photos of the first rebuild that has some.
func (s *Server) galleryPhotos(r *http.Request) ([]rebuild.Attachment, error) {
	list, err := s.workshop.Book().List(r.Context())
	if err != nil {
		return nil, err
	}
	for _, summary := range list {
		rb, err := s.workshop.Book().Load(r.Context(), summary.ID)
		if err != nil {
			return nil, err
		}
		for i := range rb.Findings {
			if photos := rb.Findings[i].Photos; len(photos) > 0 {
				return photos, nil
			}
		}
	}
	return nil, nil
}

// galleryFigures draws every kind of figure, the car with a zone in every state.
func galleryFigures(f Frame, rb *rebuild.Rebuild) []template.HTML {
	money, today := f.drawnMoney(), dayOf(f.Today)
	head := func(id string) chart.Head { return chart.Head{ID: "g-" + id, Title: "Figure: " + id} }
	ways := []chart.Range{
		{Name: "Mend", Low: 240, Likely: 320, High: 520, Expected: 460, Reference: 1400, Chosen: true},
		{Name: "New", Low: 640, Likely: 640, High: 640, Expected: 640, Reference: 1400},
	}
	low, high := chart.SharedScale(ways)
	marks := zoneMarks(rb, rb.FindingStates(), "bonnet", "/r/0/findings?zone=", "")
	for i, state := range []chart.ZoneState{chart.ZoneUnseen, chart.ZoneClear, chart.ZoneOpen, chart.ZoneSafety, chart.ZoneSettled} {
		marks[len(marks)-1-i].State = state
	}
	story := galleryStory(head("story"), today)
	figures := []chart.Figure{
		chart.NewCeilingBar(chart.CeilingBar{Head: head("under the ceiling"), Money: money, Spent: 12_000, P50: 31_000, P80: 36_000, Ceiling: 38_000}),
		chart.NewCeilingBar(chart.CeilingBar{Head: head("over it"), Money: money, Spent: 30_000, P50: 39_000, P80: 44_000, Ceiling: 38_000}),
		chart.NewCeilingBar(chart.CeilingBar{Head: head("no ceiling"), Money: money, Spent: 100, P50: 31_000, P80: 36_000}),
		chart.NewDistribution(chart.Distribution{
			Head: head("distribution"), Money: money, P10: 28_000, P50: 31_000, P80: 36_000, P90: 39_000, Ceiling: 38_000, Spent: 12_000,
			Bins: []chart.Bin{{Low: 24_000, High: 28_000, Share: 0.1}, {Low: 28_000, High: 32_000, Share: 0.5}, {Low: 32_000, High: 36_000, Share: 0.25}, {Low: 36_000, High: 40_000, Share: 0.15}},
		}),
		chart.NewDrivers(chart.Drivers{Head: head("drivers"), Items: []chart.Driver{{Name: "Front left upright", Share: 0.6}, {Name: "Hidden: bonnet", Share: 0.45}, {Name: "A hedge", Share: -0.05}}}),
		chart.NewFan(chart.Fan{
			Head: head("fan"), Money: money, Today: today, P10: 28_000, P50: 31_000, P90: 39_000, Ceiling: 38_000,
			Spent:     []chart.SpentPoint{{Date: today.AddDate(0, -5, 0), Total: 9_000}, {Date: today.AddDate(0, -1, 0), Total: 12_000}},
			Earlier:   []chart.Outlook{{Date: today.AddDate(0, -4, 0), P10: 25_000, P50: 33_000, P90: 42_000}},
			FinishP10: today.AddDate(0, 3, 0), FinishP50: today.AddDate(0, 4, 0), FinishP90: today.AddDate(0, 7, 0),
		}),
		chart.NewRanges(chart.Ranges{Head: head("ways"), Money: money, Items: ways}),
		chart.NewRangeBar(head("one way"), money, ways[0], low, high),
		chart.NewProgress(chart.Progress{Head: head("stages"), Stages: []chart.Stage{{Name: "Bought", State: chart.StageDone}, {Name: "Looked into", State: chart.StageNow}, {Name: "Body", State: chart.StageWaiting}, {Name: "Road", State: chart.StageAhead}}}),
		chart.NewPlanView(marks, chart.PlanOptions{Head: head("plan")}),
		chart.NewTimeline(story),
		chart.NewTimeline(chart.Timeline{Head: head("no story")}),
		chart.NewBidCurve(galleryBids(head("bids"), money)),
	}
	html := make([]template.HTML, len(figures))
	for i, figure := range figures {
		html[i] = figure.HTML()
	}
	return append(html, story.List())
}

// galleryStory has every mark of a story, and five events within a fortnight.
func galleryStory(head chart.Head, today time.Time) chart.Timeline {
	ago := func(days int) time.Time { return today.AddDate(0, 0, -days) }
	t := chart.Timeline{
		Head: head, Unit: "mi", Today: today, Linked: true,
		Readings: []chart.OdometerReading{
			{Date: ago(3100), Distance: 21_400},
			{Date: ago(2300), Distance: 38_700},
			{Date: ago(1300), Distance: 31_000, Doubt: chart.ReadingFalls},
			{Date: ago(900), Distance: 66_000, Doubt: chart.ReadingOffPace},
			{Date: ago(80), Distance: 71_200},
		},
		Gaps: []chart.TimelineGap{{From: ago(2280), To: ago(1300), Label: "32 months"}},
	}
	weights := []chart.EventWeight{chart.EventPlain, chart.EventNote, chart.EventQuestion, chart.EventStop}
	for i, days := range []int{4100, 3100, 2300, 2297, 2294, 2291, 2288, 1300, 80} {
		t.Events = append(t.Events, chart.TimelineEvent{Date: ago(days), Kind: "event", Weight: weights[i%len(weights)]})
	}
	return t
}

// galleryBids has every mark of a bid and an edge at which a higher bid comes cheaper.
func galleryBids(head chart.Head, money chart.Money) chart.BidCurve {
	return chart.BidCurve{
		Head: head, Money: money, Wanted: 3_000, Edges: []float64{22_000},
		Points: []chart.BidPoint{
			{Bid: 16_000, Chance: 0.99, ExpectedProfit: 12_000},
			{Bid: 20_000, Chance: 0.88, ExpectedProfit: 7_700},
			{Bid: 21_950, Chance: 0.74, ExpectedProfit: 5_600},
			{Bid: 22_000, Chance: 0.85, ExpectedProfit: 7_000},
			{Bid: 26_000, Chance: 0.5, ExpectedProfit: 3_000},
			{Bid: 30_000, Chance: 0.12, ExpectedProfit: -1_000},
		},
		Marks: []chart.BidMark{
			{Kind: chart.BidCautious, Bid: 19_300, Confidence: 0.9},
			{Kind: chart.BidChosen, Bid: 22_500, Confidence: 0.8},
			{Kind: chart.BidEven, Bid: 26_000, Confidence: 0.5},
			{Kind: chart.BidSafe, Bid: 21_100},
			{Kind: chart.BidAsking, Bid: 28_000},
		},
	}
}
