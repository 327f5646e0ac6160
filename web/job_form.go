package web

import (
	"math"
	"slices"
	"strconv"

	"wreckwright/rebuild"
)

// jobFields is what the form of a job needs besides its values.
type jobFields struct {
	Form     *Form
	Zones    []Option
	Stages   []Option
	Classes  []Option
	Findings []findingBox
}

// findingBox is one finding that a job may settle.
type findingBox struct {
	ID     string
	What   string
	Zone   string
	Safety bool
	State  rebuild.FindingState
}

// safetyNames says in words what the safety classes mean.
var safetyNames = map[rebuild.SafetyClass]string{
	rebuild.SafetyNone:       "None of these",
	rebuild.SafetyBrake:      "Brakes",
	rebuild.SafetySteering:   "Steering",
	rebuild.SafetySuspension: "Suspension",
	rebuild.SafetyRestraint:  "Airbags, belts, seat mounts",
	rebuild.SafetyStructure:  "Load-bearing structure",
	rebuild.SafetyFuel:       "Fuel",
}

func safetyOptions() []Option {
	options := make([]Option, len(rebuild.SafetyClasses))
	for i, class := range rebuild.SafetyClasses {
		options[i] = Option{string(class), safetyNames[class]}
	}
	return options
}

func stageOptions() []Option {
	options := []Option{{"", "Not said"}}
	for i, place := range rebuild.StagePlaces {
		options = append(options, Option{strconv.Itoa(i + 1), strconv.Itoa(i+1) + " " + place.Name})
	}
	return options
}

// newJobFields offers the findings that still want a job, and those the form
// has ticked already whatever became of them.
func newJobFields(rb *rebuild.Rebuild, f *Form) jobFields {
	fields := jobFields{Form: f, Zones: zoneOptions("Not said"), Stages: stageOptions(), Classes: safetyOptions()}
	states := rb.FindingStates()
	for i := range rb.Findings {
		found := &rb.Findings[i]
		id := strconv.FormatInt(found.ID, 10)
		state := states[found.ID]
		if state == rebuild.FindingOpen || state == rebuild.FindingPlanned || f.Has("findings", id) {
			fields.Findings = append(fields.Findings, findingBox{id, found.What, rebuild.ZoneName(found.Zone), found.Safety, state})
		}
	}
	slices.SortStableFunc(fields.Findings, func(a, b findingBox) int { return rank(f, a) - rank(f, b) })
	return fields
}

// rank puts ticked findings first, then those without a job.
func rank(f *Form, b findingBox) int {
	switch {
	case f.Has("findings", b.ID):
		return 0
	case b.State == rebuild.FindingOpen:
		return 1
	}
	return 2
}

// setJob fills the form with a job.
func (f *Form) setJob(j *rebuild.Job) {
	f.Set("title", j.Title)
	f.Set("zone", j.Zone)
	f.Set("safety", string(j.Safety))
	if j.Stage > 0 {
		f.Set("stage", strconv.FormatInt(j.Stage, 10))
	}
	if j.Needed < 1 {
		f.Set("needed", trimNumber(math.Round(j.Needed*1e6)/1e4))
	}
	if !j.Reference.IsZero() {
		f.Set("reference", j.Reference.Number())
	}
	f.Set("reference_from", j.ReferenceFrom)
	f.Set("note", j.Note)
	ids := make([]string, len(j.Findings))
	for i, id := range j.Findings {
		ids[i] = strconv.FormatInt(id, 10)
	}
	f.Set("findings", ids...)
}

// readJob reads the fields of a job; routes and outcome have forms of their own.
func (f *Form) readJob(j *rebuild.Job, currency string) {
	j.Title = f.Value("title")
	j.Zone = f.Value("zone")
	j.Safety = rebuild.SafetyClass(f.Value("safety"))
	j.Stage = f.whole("stage", "the stage")
	j.Needed = f.share("needed", "the chance that it is needed", 1)
	j.Reference = f.money("reference", "the reference price", currency)
	j.ReferenceFrom = f.Value("reference_from")
	j.Note = f.Value("note")
	j.Findings = nil
	for _, id := range f.Values["findings"] {
		n, err := strconv.ParseInt(id, 10, 64)
		if err != nil {
			f.problem("findings", "there is no finding %q", id)
			continue
		}
		j.Findings = append(j.Findings, n)
	}
	if j.Safety == "" {
		f.problem("safety", "say what the job touches, or that it is none of these: it decides which routes are barred")
	}
}
