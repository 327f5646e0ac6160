package web

import (
	"fmt"
	"html/template"
	"math"
	"net/http"
	"strconv"

	"wreckwright/chart"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
	"wreckwright/working"
)

// zonePage is one zone: how far it was looked into, what may still hide in it
// and what that may cost, and what was found there.
type zonePage struct {
	Frame
	Zone     *rebuild.Zone
	Form     *Form
	Hidden   hiddenDamage
	Lines    []findingLine // the first of them
	Found    int
	Plan     template.HTML
	Cautions []knowledge.Caution
	Shares   []Option
	CameOff  offHere
}

// zoneShares are the steps in which a person says how far a zone was opened.
var zoneShares = []Option{
	{"0", "Not looked at"},
	{"10", "From outside"},
	{"25", "First covers off"},
	{"50", "Half stripped"},
	{"75", "Mostly stripped"},
	{"100", "All of it"},
}

func (s *Server) zoneShow(w http.ResponseWriter, r *http.Request) error {
	rb, zone, err := s.zoneOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.Set("open_share", wholePercent(zone.OpenShare))
	f.setCosts("hidden_cost", zone.HiddenCost)
	f.Set("note", zone.Note)
	if zone.HiddenExpected > 0 {
		f.Set("hidden_expected", trimNumber(zone.HiddenExpected))
	}
	return s.zoneForm(w, r, http.StatusOK, rb, zone, f)
}

// zoneOf finds the zone that the address names by key or number.
func (s *Server) zoneOf(r *http.Request) (*rebuild.Rebuild, *rebuild.Zone, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	key := r.PathValue("zone")
	if n, err := strconv.Atoi(key); err == nil && n >= 1 && n <= len(rebuild.ZonePlaces) {
		key = rebuild.ZonePlaces[n-1].Key
	}
	if zone := rb.Zone(key); zone != nil {
		return rb, zone, nil
	}
	return nil, nil, notFound(fmt.Sprintf("There is no zone %q. The drawing on the findings' page shows them all.", r.PathValue("zone")))
}

func (s *Server) zoneForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, zone *rebuild.Zone, f *Form) error {
	frame, err := s.frame(r, zone.Label(), "findings", rb)
	if err != nil {
		return err
	}
	key, states := zone.Place().Key, rb.FindingStates()
	marks := zoneMarks(rb, states, key, frame.Base()+"/zones/", "")
	lines := findingLines(rb, states, findingFilter{Zone: key})
	return s.show(w, status, "zone", zonePage{
		Frame: frame, Zone: zone, Form: f, Hidden: hiddenDamageOf(zone, rb.Car.Currency),
		Lines: lines[:min(len(lines), findingsPageSize)], Found: len(lines),
		Plan:     chart.PlanView(marks, chart.PlanOptions{Head: chart.Head{ID: "plan", Title: "Other zones"}}),
		Cautions: knowledge.CautionsAt(key, ""), Shares: shareOptions(f.Value("open_share")),
		CameOff: newOffHere(frame, rb, nil, key),
	})
}

// shareOptions are the steps, with the present value among them whatever it is.
func shareOptions(now string) []Option {
	for _, o := range zoneShares {
		if o.Value == now {
			return zoneShares
		}
	}
	if now == "" {
		return zoneShares
	}
	return append([]Option{{now, "As it is: " + now + " %"}}, zoneShares...)
}

func wholePercent(share float64) string { return trimNumber(math.Round(share*1000) / 10) }

// hiddenDamage is what may still hide in a zone.
type hiddenDamage struct {
	Left    float64 // faults still to be expected
	Cost    float64 // what they cost on average
	None    float64 // the chance that there is none
	Working working.Working
}

// hiddenDamageOf works out the zone's share of the reserve, in closed form. The
// forecast draws the same numbers by chance and cuts each cost at zero, so that
// its mean can differ by a little.
func hiddenDamageOf(z *rebuild.Zone, currency string) hiddenDamage {
	left := uncertain.CompoundPoisson{Expected: z.HiddenLeft(), Severity: z.HiddenCost}
	h := hiddenDamage{Left: left.Expected, None: left.ChanceOfNone()}
	if left.Expected == 0 {
		return h
	}
	h.Cost = left.Mean()
	const own, law = "own estimate", "KLUGMAN_LOSS_MODELS"
	h.Working.Add("Faults to expect in the closed zone", "entered", z.HiddenExpected, "", own)
	h.Working.Add("How far it is open", "entered", z.OpenShare*100, "%", own)
	h.Working.Add("Faults still to expect", "faults × (1 − open)", left.Expected, "", "common practice, no source")
	h.Working.Add("Mean cost of one", "mean of the range "+inWordsRange(z.HiddenCost), h.Cost/left.Expected, currency, "DESIGN_RANGE")
	h.Working.Add("Cost to expect", "faults still to expect × mean cost of one", h.Cost, currency, law)
	h.Working.Add("Spread of that (standard deviation)", "√(faults × (variance of one + mean of one²))", math.Sqrt(left.Variance()), currency, law)
	h.Working.Add("Chance that nothing more is found", "e^(−faults still to expect)", h.None*100, "%", law)
	return h
}

func inWordsRange(r uncertain.Range) string {
	if r.IsCertain() {
		return trimNumber(r.Likely)
	}
	return trimNumber(r.Low) + " / " + trimNumber(r.Likely) + " / " + trimNumber(r.High)
}
