package rebuild

import (
	"sort"

	"wreckwright/money/amount"
)

// Rebuild is everything known about one car. Treat it as read-only: slices are
// shared between versions.
type Rebuild struct {
	ID        int64 // its number in the book
	Version   int64 // grows by one with every change
	NextID    int64 // the next free item number
	Car       Car
	Appraisal Appraisal
	Zones     []Zone      // all of them, in the order of [ZonePlaces]
	Stages    []Stage     // all nine, in order
	Findings  []Finding   // by ID
	Jobs      []Job       // by ID
	Entries   []Entry     // the ledger, by ID
	Evidence  []Evidence  // measurements, by ID
	Cases     []Case      // diagnoses, by ID
	Strip     []StripItem // what came off, by ID
	Joints    []Joint     // by ID
	Tools     []Tool      // that tighten, by ID

	GatePasses    []GatePass     // by ID
	Shakedown     []ShakedownRun // by ID
	Rehearsal     []Rehearsed    // inspection items looked at, by ID
	OfficialTests []OfficialTest // by ID
	Confirmations []Confirmation // by ID

	Sheets     []Sheet     // measuring sheets, by ID
	People     []Person    // who work, by ID
	Things     []Thing     // that jobs share, by ID
	Milestones []Milestone // by ID
	JobPlans   []JobPlan   // what the plan knows of jobs, by ID
	Deliveries []Delivery  // by ID
	Timetables []Timetable // one at most
}

// New is an empty rebuild of the car: all zones closed, all stages ahead. It
// returns the change that makes it, to be applied to the zero Rebuild.
func New(car Car) (Change, error) {
	car.Rev = 0
	if err := car.Validate(); err != nil {
		return Change{}, err
	}
	c := Change{What: "started the rebuild of " + car.Name, nextID: 1}
	if car.Candidate {
		c.What = "started to appraise " + car.Name
	}
	c.add(car)
	c.add(NewAppraisal())
	for i := range ZonePlaces {
		c.add(Zone{Number: int64(i + 1)})
	}
	for i := range StagePlaces {
		c.add(Stage{Number: int64(i + 1), State: StageAhead})
	}
	return c, nil
}

// Finding is the finding with that number, or nil.
func (r *Rebuild) Finding(id int64) *Finding { return lookup(r.Findings, id) }

// Job is the job with that number, or nil.
func (r *Rebuild) Job(id int64) *Job { return lookup(r.Jobs, id) }

// Entry is the ledger entry with that number, or nil.
func (r *Rebuild) Entry(id int64) *Entry { return lookup(r.Entries, id) }

// EvidenceAt is the measurement with that number, or nil.
func (r *Rebuild) EvidenceAt(id int64) *Evidence { return lookup(r.Evidence, id) }

// Case is the diagnosis with that number, or nil.
func (r *Rebuild) Case(id int64) *Case { return lookup(r.Cases, id) }

// StripItem is the thing that came off with that number, or nil.
func (r *Rebuild) StripItem(id int64) *StripItem { return lookup(r.Strip, id) }

// Joint is the joint with that number, or nil.
func (r *Rebuild) Joint(id int64) *Joint { return lookup(r.Joints, id) }

// Tool is the tool with that number, or nil.
func (r *Rebuild) Tool(id int64) *Tool { return lookup(r.Tools, id) }

// GatePass is the pass of a gate with that number, or nil.
func (r *Rebuild) GatePass(id int64) *GatePass { return lookup(r.GatePasses, id) }

// ShakedownRun is the run with that number, or nil.
func (r *Rebuild) ShakedownRun(id int64) *ShakedownRun { return lookup(r.Shakedown, id) }

// OfficialTest is the test with that number, or nil.
func (r *Rebuild) OfficialTest(id int64) *OfficialTest { return lookup(r.OfficialTests, id) }

// Sheet is the measuring sheet with that number, or nil.
func (r *Rebuild) Sheet(id int64) *Sheet { return lookup(r.Sheets, id) }

// Person is somebody who works, with that number, or nil.
func (r *Rebuild) Person(id int64) *Person { return lookup(r.People, id) }

// Thing is what jobs share, with that number, or nil.
func (r *Rebuild) Thing(id int64) *Thing { return lookup(r.Things, id) }

// Milestone is the milestone with that number, or nil.
func (r *Rebuild) Milestone(id int64) *Milestone { return lookup(r.Milestones, id) }

// JobPlan is what the plan knows of a job, with that number, or nil.
func (r *Rebuild) JobPlan(id int64) *JobPlan { return lookup(r.JobPlans, id) }

// Delivery is what is to come, with that number, or nil.
func (r *Rebuild) Delivery(id int64) *Delivery { return lookup(r.Deliveries, id) }

// Zone is the state of the zone with that key, or nil.
func (r *Rebuild) Zone(key string) *Zone { return lookup(r.Zones, zoneNumber(key)) }

// Amount is minor units of this rebuild's currency.
func (r *Rebuild) Amount(minor int64) amount.Amount { return amount.New(minor, r.Car.Currency) }

// lookup finds an item by number in a slice that is sorted by it.
func lookup[T Item](items []T, id int64) *T {
	i := sort.Search(len(items), func(i int) bool { return items[i].ItemID() >= id })
	if i < len(items) && items[i].ItemID() == id {
		return &items[i]
	}
	return nil
}

// Paid is what was paid on each job, in minor units; key 0 holds what belongs to
// no job. Sales of parts that came off are left aside: they make no job cheaper.
// A job on which nothing was paid is not in it.
func (r *Rebuild) Paid() map[int64]int64 {
	paid := make(map[int64]int64, len(r.Jobs)+1)
	for i := range r.Entries {
		if e := &r.Entries[i]; e.Kind != EntrySale {
			paid[e.JobID] += e.Amount.Minor
		}
	}
	return paid
}

// Spent is the sum of the whole ledger.
func (r *Rebuild) Spent() amount.Amount {
	var sum int64
	for i := range r.Entries {
		sum += r.Entries[i].Amount.Minor
	}
	return r.Amount(sum)
}

// JobsOf lists the jobs that settle the finding.
func (r *Rebuild) JobsOf(finding int64) []*Job {
	var jobs []*Job
	for i := range r.Jobs {
		if r.Jobs[i].Settles(finding) {
			jobs = append(jobs, &r.Jobs[i])
		}
	}
	return jobs
}
