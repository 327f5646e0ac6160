package web

import (
	"html/template"
	"net/http"
	"strings"

	"wreckwright/chart"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// walkPage is the walk round the car: the plan to tap, what may be seen at the
// zone that was tapped, and what all that was noted would come to.
type walkPage struct {
	Frame
	Plan     template.HTML
	Key      template.HTML // what the drawing's marks mean
	Zone     *rebuild.Zone // that was tapped; nil: none
	Look     walkForm
	Cautions []knowledge.Caution
	Noted    []findingLine // stand at the zone already and are not settled; the first of them

	MoreNoted                       bool
	Looked, Zones, Findings, Safety int
	Next                            string // key of a zone that was not looked at yet; empty: all were
	Added                           []rebuild.Job
	Outlook                         *workshop.Outlook // nil: nothing to add up yet
	Hidden                          float64           // of the outlook: for what may hide
}

// walkForm is the form of one look at a zone.
type walkForm struct {
	Form       *Form
	Photos     []rebuild.Attachment // that came with a refused form
	Picks      []workshop.Pick
	Hits       []Option
	Depths     []Option
	Severities []Option
	OwnReserve bool // the zone has one of the person's own, which stays
	Priced     bool // the list has figures in this currency
	Rate       knowledge.RoughRate
}

// walkOrder is the way round the car on foot: from the front left corner
// clockwise as seen from above, then over it, into it and beneath it.
var walkOrder = []string{
	"front-left-corner", "front-bumper", "bonnet", "front-right-wing", "front-right-corner", "right-door", "right-sill",
	"rear-right-quarter", "rear-right-corner", "rear-bumper", "boot", "rear-left-quarter", "rear-left-corner",
	"left-sill", "left-door", "front-left-wing", "windscreen", "roof", "engine-bay", "cabin", "electrics", "fluids",
	"underside", "gearbox-tunnel",
}

// hitOptions are the answers to how hard a zone was hit.
var hitOptions = []Option{
	{"", "As ticked"}, {knowledge.HitNone, "Not hit"}, {knowledge.HitLight, "Lightly"}, {knowledge.HitMedium, "Medium"}, {knowledge.HitHard, "Hard"},
}

func (s *Server) walkShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	zone := r.URL.Query().Get("zone")
	if rb.Zone(zone) != nil {
		f.Set("zone", zone)
		f.Set("depth", presetDepth(rb.Zone(zone)))
		f.Set("severity", string(rebuild.Minor))
	}
	page, err := s.walkPage(r, rb, f)
	if err != nil {
		return err
	}
	return s.show(w, http.StatusOK, "walk", page)
}

// walkAgain shows the page with a form that was refused.
func (s *Server) walkAgain(w http.ResponseWriter, r *http.Request, f *Form, photos []rebuild.Attachment) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	page, err := s.walkPage(r, rb, f)
	if err != nil {
		return err
	}
	page.Look.Photos = photos
	return s.show(w, http.StatusUnprocessableEntity, "walk", page)
}

func (s *Server) walkPage(r *http.Request, rb *rebuild.Rebuild, f *Form) (walkPage, error) {
	frame, err := s.frame(r, "Walk-round", "findings", rb)
	if err != nil {
		return walkPage{}, err
	}
	states, zone := rb.FindingStates(), f.Value("zone")
	page := walkPage{Frame: frame, Key: chart.PlanKey(), Zone: rb.Zone(zone), Look: walkForm{Form: f}, Zones: len(rebuild.ZonePlaces)}
	if page.Zone != nil {
		page.Look = newWalkForm(rb, page.Zone, f)
		page.Cautions = knowledge.CautionsAt(zone, "")
		noted := findingLines(rb, states, findingFilter{Zone: zone, State: stateUnsettled})
		page.Noted, page.MoreNoted = noted[:min(len(noted), findingsPageSize)], len(noted) > findingsPageSize
	}
	marks := zoneMarks(rb, states, zone, frame.Base()+"/walk?zone=", "#look")
	seen := map[string]bool{}
	for _, m := range marks {
		page.Findings, page.Safety = page.Findings+m.Open, page.Safety+m.Safety
		if m.State != chart.ZoneUnseen {
			page.Looked++
			seen[m.Key] = true
		}
	}
	page.Next = nextOnTheWalk(seen, r.URL.Query().Get("at"))
	page.Plan = chart.NewPlanView(marks, chart.PlanOptions{Head: chart.Head{ID: "plan", Title: "Where are you?"}}).HTML()
	if page.Added, err = s.jobsAddedBy(r, frame); err != nil {
		return walkPage{}, err
	}
	return page, s.addUp(r, rb, &page)
}

func newWalkForm(rb *rebuild.Rebuild, zone *rebuild.Zone, f *Form) walkForm {
	look := walkForm{
		Form: f, Picks: workshop.Picks(rb, zone.Place().Key), Hits: hitOptions, Severities: optionsOf(rebuild.Severities),
		OwnReserve: workshop.OwnReserve(rb, zone),
	}
	look.Rate, look.Priced = knowledge.RoughRateFor(rb.Car.Currency)
	for _, d := range knowledge.Depths() {
		look.Depths = append(look.Depths, Option{d.Key, d.Name})
	}
	return look
}

// presetDepth is the depth that the zone has reached: the next look there is
// seldom shallower.
func presetDepth(zone *rebuild.Zone) string {
	list := knowledge.Depths()
	now := list[0].Key
	for _, d := range list {
		if zone.OpenShare >= d.Open {
			now = d.Key
		}
	}
	return now
}

// nextOnTheWalk is the next zone that was not looked at, on the way on from the
// one where the person stands.
func nextOnTheWalk(seen map[string]bool, at string) string {
	from := 0
	for i, key := range walkOrder {
		if key == at {
			from = i + 1
		}
	}
	for i := range walkOrder {
		if key := walkOrder[(from+i)%len(walkOrder)]; !seen[key] {
			return key
		}
	}
	return ""
}

// jobsAddedBy are the jobs that the change just made has suggested.
func (s *Server) jobsAddedBy(r *http.Request, frame Frame) ([]rebuild.Job, error) {
	if frame.Did == nil {
		return nil, nil
	}
	records, err := s.workshop.Book().Journal(r.Context(), frame.Rebuild.ID, frame.Did.ID+1, 1)
	if err != nil {
		return nil, err
	}
	var jobs []rebuild.Job
	for _, record := range records {
		for _, e := range record.Edits {
			if j, ok := e.After.(rebuild.Job); ok && e.Before == nil && record.ID == frame.Did.ID {
				jobs = append(jobs, j)
			}
		}
	}
	return jobs, nil
}

// addUp works out what all that is noted would come to.
func (s *Server) addUp(r *http.Request, rb *rebuild.Rebuild, page *walkPage) error {
	outlook, err := s.workshop.Forecast(r.Context(), rb)
	if err != nil {
		return err
	}
	if outlook.Remaining.P90 == 0 && len(outlook.Drivers) == 0 {
		return nil
	}
	page.Outlook = &outlook
	for _, d := range outlook.Drivers {
		if d.Zone != "" {
			page.Hidden += d.Expected
		}
	}
	return nil
}

// About is what the job is likely to cost, in words; empty where it has no
// figures.
func (p walkPage) About(j rebuild.Job) string {
	route, ok := j.Planned()
	if !ok {
		return ""
	}
	return strings.Join([]string{p.Whole(route.Cost.Low), p.Whole(route.Cost.Likely), p.Whole(route.Cost.High)}, " / ")
}
