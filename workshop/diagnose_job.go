package workshop

import (
	"fmt"
	"math"
	"slices"
	"time"

	"wreckwright/diagnose/faultmodel"
	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// A model gives one figure for a cost; a job wants a range. One in ten is cheaper
// by a quarter, one in ten dearer by half: own estimates, skewed since work on a
// damaged car runs over more often than under.
const (
	estimateLow  = 0.75
	estimateHigh = 1.5
)

// estimated is the range around one figure of a model.
func estimated(v float64) uncertain.Range {
	return uncertain.Range{Low: cents(estimateLow * v), Likely: cents(v), High: cents(estimateHigh * v)}
}

func cents(v float64) float64 { return math.Round(v*100) / 100 }

// mostRoutesOfJob bounds the routes of a job made from a case.
const mostRoutesOfJob = 20

// JobOfCase makes a job of a case: to mend that fault (its ID), with the model's
// repairs of it as routes and the whole unit's price as what the trade would have
// charged. Where a repair cured it, the job is done by that route.
func (w *Workshop) JobOfCase(r *rebuild.Rebuild, k *rebuild.Case, fault string) (rebuild.Job, error) {
	q, err := w.questionOf(r, k)
	if err != nil {
		return rebuild.Job{}, err
	}
	f := faultAt(&q.model.Case, fault)
	if f < 0 {
		return rebuild.Job{}, &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "fault", Text: fmt.Sprintf("the fault model has no fault %q", fault)}}}
	}
	job := rebuild.Job{
		Title: titled(q.model.FaultName(f), k.Title), Zone: knownZone(q.model.Zone), Findings: slices.Clone(k.Findings),
		Safety: safetyOfModel(q.model), Needed: 1, State: rebuild.JobOpen, Note: fmt.Sprintf("From the case %q.", k.Title),
	}
	q.route(&job, k, f)
	if whole := q.model.Case.ReplaceAll; whole != nil && whole.Cost > 0 && !q.money.Foreign {
		job.Reference = amount.FromFloat(whole.Cost*q.money.Rate, r.Car.Currency)
		job.ReferenceFrom = "Fault model, own estimate: " + q.model.UnitName()
	}
	return job, nil
}

// titled names the job for the fault, with the symptom where there is room.
func titled(fault, symptom string) string {
	title := []rune(upperFirst(fault) + ": " + symptom)
	return string(title[:min(len(title), 200)])
}

func knownZone(key string) string {
	for _, z := range rebuild.ZonePlaces {
		if z.Key == key {
			return key
		}
	}
	return ""
}

// safetyOfModel is the safety class that the model's cautions speak of.
func safetyOfModel(m faultmodel.Model) rebuild.SafetyClass {
	of := map[string]rebuild.SafetyClass{
		"brakes": rebuild.SafetyBrake, "steering": rebuild.SafetySteering, "restraints": rebuild.SafetyRestraint,
		"fuel": rebuild.SafetyFuel, "structure": rebuild.SafetyStructure,
	}
	for _, hazard := range m.Cautions {
		if class, ok := of[hazard]; ok {
			return class
		}
	}
	return rebuild.SafetyNone
}

// route gives the job its routes: every repair of the fault, and the whole unit.
// The repair that cured is the one it went.
func (q *question) route(job *rebuild.Job, k *rebuild.Case, f int) {
	var cured rebuild.CaseStep
	if k.Cured() {
		cured = k.Steps[len(k.Steps)-1]
	}
	for i := range q.model.Case.Repairs {
		repair := &q.model.Case.Repairs[i]
		if repair.Fixes[f] <= 0 && repair.ID != cured.What || len(job.Routes) == mostRoutesOfJob-1 {
			continue
		}
		job.Routes = append(job.Routes, q.repairRoute(i, f))
		if cured.Kind == rebuild.StepRepair && repair.ID == cured.What {
			job.Chosen = int64(len(job.Routes))
		}
	}
	if whole := q.model.Case.ReplaceAll; whole != nil {
		job.Routes = append(job.Routes, rebuild.Route{
			Kind: rebuild.NewPart, Method: rebuild.MethodPlain, Name: clip(q.model.UnitName(), 200), Works: 1, Basis: "Fault model, own estimate",
			Cost: estimated(whole.Cost * q.money.Rate), Hours: estimated(whole.Minutes / 60),
		})
		if cured.Kind == rebuild.StepWhole {
			job.Chosen = int64(len(job.Routes))
		}
	}
	if job.Chosen == 0 {
		return
	}
	for _, bar := range rebuild.Bars(job.Safety, job.Routes[job.Chosen-1]) {
		job.Chosen, job.Note = 0, job.Note+" What cured it is barred as a route: "+bar.Reason+"."
		return
	}
	job.State, job.DoneOn = rebuild.JobDone, dayOfStep(cured)
}

// repairRoute is one repair as a route. Where it may not cure, the whole unit is
// what follows, or, without one, the repair again.
func (q *question) repairRoute(i, f int) rebuild.Route {
	repair, note := &q.model.Case.Repairs[i], q.model.Repairs[i]
	cost, hours := estimated(repair.Cost*q.money.Rate), estimated(repair.Minutes/60)
	route := rebuild.Route{
		Kind: routeKind(note.Kind), Method: rebuild.MethodPlain, Name: clip(q.model.RepairName(i), 200), Cost: cost, Hours: hours,
		Works: repair.Fixes[f], Basis: clip("Fault model, "+basisOf(note.Basis, q.model.Basis), 500),
	}
	if route.Works < 1 {
		route.Fallback = q.fallback(i, f)
	}
	return route
}

// fallback is what is paid when a repair does not cure: the cheapest of the
// others for the sum of money, hours at their worth and its own failing, the
// whole unit among them.
func (q *question) fallback(i, f int) *rebuild.Fallback {
	best, least := -1, math.Inf(1)
	for n := range q.model.Case.Repairs {
		repair := &q.model.Case.Repairs[n]
		if n == i || repair.Fixes[f] <= 0.5 {
			continue
		}
		if sum := (repair.Cost*q.money.Rate + q.money.HourValue*repair.Minutes/60) / repair.Fixes[f]; sum < least {
			best, least = n, sum
		}
	}
	whole := q.model.Case.ReplaceAll
	if whole != nil && whole.Cost*q.money.Rate+q.money.HourValue*whole.Minutes/60 < least {
		return &rebuild.Fallback{Name: clip(q.model.UnitName(), 200), Cost: estimated(whole.Cost * q.money.Rate), Hours: estimated(whole.Minutes / 60)}
	}
	if best < 0 {
		best = i
	}
	repair := &q.model.Case.Repairs[best]
	return &rebuild.Fallback{Name: clip(q.model.RepairName(best), 200), Cost: estimated(repair.Cost * q.money.Rate), Hours: estimated(repair.Minutes / 60)}
}

func routeKind(kind string) rebuild.RouteKind {
	if kind == "" {
		return rebuild.Repair
	}
	return rebuild.RouteKind(kind)
}

func basisOf(own, model string) string {
	if own == "" {
		own = model
	}
	if own == "" {
		own = faultmodel.OwnEstimate
	}
	return own
}

func clip(text string, most int) string {
	letters := []rune(text)
	return string(letters[:min(len(letters), most)])
}

// dayOfStep is the day of a step where the workshop stands, as its stamp says it.
func dayOfStep(step rebuild.CaseStep) string {
	at, err := time.Parse(time.RFC3339, step.At)
	if err != nil {
		return ""
	}
	return at.Format(time.DateOnly)
}

// AddJobOfCase is the change that enters the job and has the case name it.
func AddJobOfCase(r *rebuild.Rebuild, k rebuild.Case, job rebuild.Job) (rebuild.Change, error) {
	added, err := r.AddJob(job)
	if err != nil {
		return rebuild.Change{}, err
	}
	with, err := r.Apply(added)
	if err != nil {
		return rebuild.Change{}, err
	}
	k.Jobs = append(slices.Clone(k.Jobs), added.Added().ItemID())
	named, err := with.EditCase(k)
	if err != nil {
		return rebuild.Change{}, err
	}
	added.Edits = append(added.Edits, named.Edits...)
	return added, nil
}
