package workshop

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// Look is one look at a zone on a walk round the car, as a person enters it.
type Look struct {
	Zone  string
	Seen  []string // keys of knowledge.Damages that were ticked
	Words string   // something else that is seen; empty: nothing

	// Severity and Safety are of what Words say.
	Severity rebuild.Severity
	Safety   bool

	Hit    string // how hard the zone was hit: one of knowledge.Hits; empty: as what was ticked says
	Depth  string // key of knowledge.Depths
	On     string // ISO date
	Photos []rebuild.Attachment
}

// Note is the look as the rebuild takes it: findings, the jobs that they suggest
// with routes and ranges in the rebuild's currency, the reserve for what hides in
// the zone. The figures are own estimates and say so. See package knowledge and
// [rebuild.Rebuild.NoteDamage].
func (l Look) Note(r *rebuild.Rebuild) (rebuild.DamageNote, error) {
	kinds, err := l.kinds()
	if err != nil {
		return rebuild.DamageNote{}, err
	}
	n := rebuild.DamageNote{Zone: l.Zone}
	if n.OpenShare, err = l.openShare(); err != nil {
		return rebuild.DamageNote{}, err
	}
	for _, d := range kinds {
		n.Findings = append(n.Findings, l.finding(d.Seen, wayFound(d), rebuild.Severity(d.Severity), d.Safety))
	}
	n.Jobs = suggestedJobs(kinds, l.Zone, r.Car.Currency)
	if l.Words != "" {
		n.Findings = append(n.Findings, l.finding(l.Words, rebuild.Seen, l.Severity, l.Safety))
	}
	n.Reserve = reserveFor(r, l.Zone, l.hit(kinds))
	return n, nil
}

// kinds are the kinds of damage that were ticked, in the order of the list.
func (l Look) kinds() ([]knowledge.Damage, error) {
	at := knowledge.DamagesAt(l.Zone)
	for _, key := range l.Seen {
		if !slices.ContainsFunc(at, func(d knowledge.Damage) bool { return d.Key == key }) {
			return nil, refused("seen", "%q is not on the list of this zone; tick what is seen once more", key)
		}
	}
	if l.Hit != "" && !slices.Contains(knowledge.Hits(), l.Hit) {
		return nil, refused("hit", "how hard it was hit cannot be %q; it is one of: %s", l.Hit, strings.Join(knowledge.Hits(), ", "))
	}
	return slices.DeleteFunc(at, func(d knowledge.Damage) bool { return !slices.Contains(l.Seen, d.Key) }), nil
}

func refused(field, format string, args ...any) error {
	return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: field, Text: fmt.Sprintf(format, args...)}}}
}

func (l Look) openShare() (float64, error) {
	for _, d := range knowledge.Depths() {
		if d.Key == l.Depth {
			return d.Open, nil
		}
	}
	return 0, refused("depth", "how far it was looked into is missing; pick one")
}

// hit is how hard the zone was hit: what the person says, else the hardest blow
// that what was ticked speaks of.
func (l Look) hit(kinds []knowledge.Damage) string {
	if l.Hit != "" {
		return l.Hit
	}
	hits, hardest := knowledge.Hits(), 0
	for _, d := range kinds {
		hardest = max(hardest, slices.Index(hits, d.Hit))
	}
	return hits[hardest]
}

func (l Look) finding(what string, how rebuild.HowFound, severity rebuild.Severity, safety bool) rebuild.Finding {
	return rebuild.Finding{Zone: l.Zone, What: what, HowFound: how, Severity: severity, Safety: safety, On: l.On, Photos: l.Photos}
}

func wayFound(d knowledge.Damage) rebuild.HowFound {
	if d.Found == "" {
		return rebuild.Seen
	}
	return rebuild.HowFound(d.Found)
}

// suggestedJobs are the jobs for kinds of damage in a zone, each once with all
// that it settles.
func suggestedJobs(kinds []knowledge.Damage, zone, currency string) []rebuild.NotedJob {
	var jobs []rebuild.NotedJob
	place := map[string]int{}
	for i, d := range kinds {
		for _, key := range d.Jobs {
			at, there := place[key]
			if !there {
				at = len(jobs)
				place[key] = at
				j, _ := knowledge.DamageJobFor(key) // the list was checked when it was read
				jobs = append(jobs, rebuild.NotedJob{Job: suggestedJob(j, zone, currency), Anywhere: j.Once})
			}
			jobs[at].Settles = append(jobs[at].Settles, i)
		}
	}
	return jobs
}

// suggestedJob is a job of the list in a zone. Without a rough rate for the
// currency it has no routes: a figure in another currency would be a wrong one.
func suggestedJob(j knowledge.DamageJob, zone, currency string) rebuild.Job {
	out := rebuild.Job{
		Title: titleAt(j.Title, zone), Zone: zone, Stage: stageNumber(j.Stage),
		Safety: rebuild.SafetyClass(j.Class), Needed: 1, State: rebuild.JobOpen,
	}
	rate, known := knowledge.RoughRateFor(currency)
	if !known {
		return out
	}
	for _, r := range j.Routes {
		route := rebuild.Route{
			Kind: rebuild.RouteKind(r.Kind), Method: rebuild.Method(r.Method), Name: r.Name,
			Cost: roughRange(r.Cost, rate), Hours: rangeOfFigures(r.Hours), Works: 1, Basis: basisIn(rate),
		}
		if r.Works != nil {
			route.Works = *r.Works
			route.Fallback = &rebuild.Fallback{Name: r.Fallback.Name, Cost: roughRange(r.Fallback.Cost, rate), Hours: rangeOfFigures(r.Fallback.Hours)}
		}
		out.Routes = append(out.Routes, route)
	}
	return out
}

// titleAt puts the zone's name and its side into a title.
func titleAt(title, zone string) string {
	return strings.NewReplacer("{zone}", strings.ToLower(rebuild.ZoneName(zone)), "{side}", sideOf(zone)).Replace(title)
}

// sideOf is the corner or the side of the car on which a zone lies: "front left",
// "right"; empty for one in the middle.
func sideOf(zone string) string {
	words := strings.Split(zone, "-")
	for i, word := range words {
		if word == "left" || word == "right" {
			return strings.Join(words[:i+1], " ")
		}
	}
	return ""
}

func stageNumber(key string) int64 {
	return int64(1 + slices.IndexFunc(rebuild.StagePlaces[:], func(p rebuild.StagePlace) bool { return p.Key == key }))
}

// basisIn says where the figures come from.
func basisIn(rate knowledge.RoughRate) string {
	own, _ := knowledge.RoughRateFor(knowledge.EstimateCurrency)
	if rate.Currency == own.Currency {
		return "own estimate as at " + own.AsAt + " for a first look; change it"
	}
	return fmt.Sprintf("own estimate in %s as at %s, taken as a rough %g %s to one (as at %s, from memory); change it", own.Currency, own.AsAt, rate.Factor, rate.Currency, rate.AsAt)
}

func rangeOfFigures(f knowledge.Figures) uncertain.Range {
	return uncertain.Range{Low: f[0], Likely: f[1], High: f[2]}
}

// roughRange is an own estimate in another currency: two digits, as there were
// before.
func roughRange(f knowledge.Figures, rate knowledge.RoughRate) uncertain.Range {
	r := rangeOfFigures(f)
	if rate.Factor == 1 {
		return r
	}
	return uncertain.Range{Low: twoDigits(r.Low * rate.Factor), Likely: twoDigits(r.Likely * rate.Factor), High: twoDigits(r.High * rate.Factor)}
}

func twoDigits(v float64) float64 {
	out, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 2, 64), 64)
	if err != nil || math.IsInf(out, 0) {
		return v
	}
	return out
}

// reserveFor is the reserve for what hides in a zone that was hit so hard, or nil
// where the zone's own is to stay: nothing was hit, no rate is known, the one it
// has is no smaller, or it is the person's own figure and not one of the list.
func reserveFor(r *rebuild.Rebuild, zone, hit string) *rebuild.HiddenReserve {
	z := r.Zone(zone)
	suggested, ok := reserveIn(zone, hit, r.Car.Currency)
	if z == nil || !ok || suggested.Expected <= z.HiddenExpected || OwnReserve(r, z) {
		return nil
	}
	return &suggested
}

// OwnReserve reports whether the zone has a reserve that is the person's own, so
// that a look must not touch it.
func OwnReserve(r *rebuild.Rebuild, z *rebuild.Zone) bool {
	if z.HiddenExpected == 0 && z.HiddenCost == (uncertain.Range{}) {
		return false
	}
	for _, hit := range knowledge.Hits() {
		listed, ok := reserveIn(z.Place().Key, hit, r.Car.Currency)
		if ok && listed.Expected == z.HiddenExpected && listed.Cost == z.HiddenCost {
			return false
		}
	}
	return true
}

// reserveIn is the list's reserve in a currency.
func reserveIn(zone, hit, currency string) (rebuild.HiddenReserve, bool) {
	hidden, ok := knowledge.HiddenAt(zone, hit)
	rate, known := knowledge.RoughRateFor(currency)
	if !ok || !known {
		return rebuild.HiddenReserve{}, false
	}
	return rebuild.HiddenReserve{Expected: hidden.Expected, Cost: roughRange(hidden.Cost, rate)}, true
}

// Pick is one kind of damage to tick, with what it would suggest.
type Pick struct {
	knowledge.Damage
	Jobs  []string // titles of the jobs it suggests, without their place
	Noted bool     // it stands among the zone's findings and is not settled
	// Cost is what those jobs are likely to cost, each by the route that it would
	// be planned with, failing counted, in two digits; zero where no rate is known.
	Cost float64
}

// Picks are the kinds of damage that may be seen in a zone.
func Picks(r *rebuild.Rebuild, zone string) []Pick {
	noted, states := map[string]bool{}, r.FindingStates()
	for i := range r.Findings {
		f := &r.Findings[i]
		if st := states[f.ID]; f.Zone == zone && (st == rebuild.FindingOpen || st == rebuild.FindingPlanned) {
			noted[strings.ToLower(f.What)] = true
		}
	}
	var picks []Pick
	for _, d := range knowledge.DamagesAt(zone) {
		p := Pick{Damage: d, Noted: noted[strings.ToLower(d.Seen)]}
		for _, n := range suggestedJobs([]knowledge.Damage{d}, zone, r.Car.Currency) {
			p.Jobs = append(p.Jobs, strings.TrimSuffix(strings.TrimSuffix(n.Job.Title, ": "+strings.ToLower(rebuild.ZoneName(zone))), ": "+sideOf(zone)))
			if route, ok := n.Job.Planned(); ok {
				p.Cost += likelyWithFallback(route)
			}
		}
		p.Cost = twoDigits(p.Cost)
		picks = append(picks, p)
	}
	return picks
}

func likelyWithFallback(r rebuild.Route) float64 {
	if r.Fallback == nil {
		return r.Cost.Likely
	}
	return r.Cost.Likely + (1-r.Works)*r.Fallback.Cost.Likely
}
