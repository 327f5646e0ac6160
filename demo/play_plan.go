package demo

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// planPage is what the plan of a rebuild was told.
type planPage struct {
	People     []personPage    `yaml:"people"`
	Things     []thingPage     `yaml:"things"`
	Timetable  []timetablePage `yaml:"timetable"`
	Milestones []milestonePage `yaml:"milestones"`
	Jobs       []jobPlanPage   `yaml:"jobs"`
	Deliveries []deliveryPage  `yaml:"deliveries"`
	Kept       []Deed          `yaml:"kept"` // when the plan was kept to hold later ones against
}

type personPage struct {
	Deed  `yaml:",inline"`
	Key   string              `yaml:"key"`
	Name  string              `yaml:"name"`
	Own   bool                `yaml:"own"`
	Hours map[string][]string `yaml:"hours"` // by weekday: 18:30-21:00
	Away  []spanPage          `yaml:"away"`
	Extra []extraPage         `yaml:"extra"`
	Note  string              `yaml:"note"`
}

// spanPage is days from the first to the last, both of them in it.
type spanPage struct {
	From int    `yaml:"from"`
	To   int    `yaml:"to"`
	Why  string `yaml:"why"`
}

type extraPage struct {
	On    int    `yaml:"on"`
	Hours string `yaml:"hours"`
}

type thingPage struct {
	Deed  `yaml:",inline"`
	Key   string `yaml:"key"`
	Name  string `yaml:"name"`
	Count int    `yaml:"count"`
	Until *int   `yaml:"until"` // the last day it is there
	Note  string `yaml:"note"`
}

type timetablePage struct {
	Deed   `yaml:",inline"`
	Closed []spanPage `yaml:"closed"`
	Quiet  string     `yaml:"quiet"` // 21:00-7:00
	Costs  []costPage `yaml:"costs"`
}

type costPage struct {
	Name   string `yaml:"name"`
	Amount string `yaml:"amount"`
	Per    string `yaml:"per"`
}

type milestonePage struct {
	Deed   `yaml:",inline"`
	Name   string   `yaml:"name"`
	Gate   string   `yaml:"gate"`
	Jobs   []string `yaml:"jobs"`
	Wished *int     `yaml:"wished"`
	Late   string   `yaml:"late"` // what it costs once to miss it
	Note   string   `yaml:"note"`
}

type jobPlanPage struct {
	Deed     `yaml:",inline"`
	Job      string     `yaml:"job"`
	After    []string   `yaml:"after"`
	Helpers  []string   `yaml:"helpers"`
	Without  bool       `yaml:"without_me"`
	Holds    []string   `yaml:"holds"`
	Wait     float64    `yaml:"wait"` // days
	Noisy    bool       `yaml:"noisy"`
	Daylight bool       `yaml:"daylight"`
	SetUp    string     `yaml:"set_up"`
	Outside  [3]float64 `yaml:"outside"` // days; none: here
	CarGoes  bool       `yaml:"car_goes"`
	Slots    []int      `yaml:"slots"`
	Started  *int       `yaml:"started"`
	Note     string     `yaml:"note"`
}

type deliveryPage struct {
	Deed     `yaml:",inline"`
	Job      string     `yaml:"job"`
	What     string     `yaml:"what"`
	Supplier string     `yaml:"supplier"`
	Ordered  *int       `yaml:"ordered"`
	Lead     [3]float64 `yaml:"lead"`
	Expected *int       `yaml:"expected"`
	Arrived  *int       `yaml:"arrived"`
	Faster   int        `yaml:"faster"` // days
	For      string     `yaml:"for"`    // what that costs
	Amount   string     `yaml:"amount"`
	Note     string     `yaml:"note"`
}

func (p *player) planEvents() []event {
	var all []event
	add := func(d Deed, what string, f func() (func(*rebuild.Rebuild) (rebuild.Change, error), error)) {
		all = append(all, event{d, orderPlan, what, func(ctx context.Context, who by) error {
			change, err := f()
			if err == nil {
				_, err = p.change(ctx, who, change)
			}
			return err
		}})
	}
	told := p.story.Plan
	for _, x := range told.People {
		add(x.Deed, "person "+x.Key, func() (func(*rebuild.Rebuild) (rebuild.Change, error), error) { return p.person(x) })
	}
	for _, x := range told.Things {
		add(x.Deed, "thing "+x.Key, func() (func(*rebuild.Rebuild) (rebuild.Change, error), error) { return p.thing(x), nil })
	}
	for _, x := range told.Timetable {
		add(x.Deed, "timetable", func() (func(*rebuild.Rebuild) (rebuild.Change, error), error) { return p.timetable(x) })
	}
	for _, x := range told.Milestones {
		add(x.Deed, "milestone "+x.Name+x.Gate, func() (func(*rebuild.Rebuild) (rebuild.Change, error), error) { return p.milestone(x) })
	}
	for _, x := range told.Jobs {
		add(x.Deed, "plan of "+x.Job, func() (func(*rebuild.Rebuild) (rebuild.Change, error), error) { return p.jobPlan(x), nil })
		if x.Started != nil {
			add(Deed{Day: *x.Started, By: x.By}, "start of "+x.Job, func() (func(*rebuild.Rebuild) (rebuild.Change, error), error) { return p.start(x.Job), nil })
		}
	}
	for _, x := range told.Deliveries {
		add(x.Deed, "delivery "+x.What, func() (func(*rebuild.Rebuild) (rebuild.Change, error), error) { return p.delivery(x) })
		if x.Arrived != nil {
			add(Deed{Day: *x.Arrived, By: x.By}, "arrival of "+x.What, func() (func(*rebuild.Rebuild) (rebuild.Change, error), error) { return p.arrival(x), nil })
		}
	}
	for _, x := range told.Kept {
		all = append(all, event{x, orderMark, "plan kept", p.keepPlan})
	}
	return all
}

// keepPlan keeps the plan as the workshop makes it on that day.
func (p *player) keepPlan(ctx context.Context, who by) error {
	r, err := p.book.Load(ctx, p.id)
	if err != nil {
		return err
	}
	bench := workshop.New(p.book, silent, func() string { return p.clock.date(p.clock.day) })
	made, err := bench.Planned(ctx, r)
	if closed := bench.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return err
	}
	_, err = p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.KeepPlan(&made.Stand) })
	return err
}

func (p *player) person(x personPage) (func(*rebuild.Rebuild) (rebuild.Change, error), error) {
	who := rebuild.Person{Name: x.Name, Own: x.Own, Away: p.spans(x.Away), Note: x.Note}
	for day := time.Sunday; day <= time.Saturday; day++ {
		for _, hours := range x.Hours[strings.ToLower(day.String())] {
			from, to, err := hoursOf(hours)
			if err != nil {
				return nil, err
			}
			who.Hours = append(who.Hours, rebuild.WorkHours{Weekday: int(day), From: from, To: to})
		}
	}
	for _, e := range x.Extra {
		from, to, err := hoursOf(e.Hours)
		if err != nil {
			return nil, err
		}
		who.Extra = append(who.Extra, rebuild.Opening{On: p.clock.date(e.On), From: from, To: to})
	}
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddPerson(who) }, nil
}

// hoursOf reads 18:30-21:00.
func hoursOf(text string) (from, to int, err error) {
	var h, m, hTo, mTo int
	if _, err := fmt.Sscanf(text, "%d:%d-%d:%d", &h, &m, &hTo, &mTo); err != nil {
		return 0, 0, fmt.Errorf("the hours %q: %w", text, err)
	}
	return 60*h + m, 60*hTo + mTo, nil
}

func (p *player) spans(list []spanPage) []rebuild.DaySpan {
	var out []rebuild.DaySpan
	for _, s := range list {
		out = append(out, rebuild.DaySpan{From: p.clock.date(s.From), To: p.clock.date(s.To), Why: s.Why})
	}
	return out
}

func (p *player) dateIf(day *int) string {
	if day == nil {
		return ""
	}
	return p.clock.date(*day)
}

func (p *player) sum(text string) (amount.Amount, error) {
	if text == "" {
		return amount.Amount{}, nil
	}
	return amount.Parse(text, p.story.Car.Currency, '.')
}

func (p *player) thing(x thingPage) func(*rebuild.Rebuild) (rebuild.Change, error) {
	t := rebuild.Thing{Name: x.Name, Count: max(1, x.Count), To: p.dateIf(x.Until), Note: x.Note}
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddThing(t) }
}

func (p *player) timetable(x timetablePage) (func(*rebuild.Rebuild) (rebuild.Change, error), error) {
	t := rebuild.Timetable{Closed: p.spans(x.Closed)}
	if x.Quiet != "" {
		var err error
		if t.QuietFrom, t.QuietTo, err = hoursOf(x.Quiet); err != nil {
			return nil, err
		}
	}
	for _, c := range x.Costs {
		sum, err := p.sum(c.Amount)
		if err != nil {
			return nil, err
		}
		t.Costs = append(t.Costs, rebuild.RunningCost{Name: c.Name, Amount: sum, Per: rebuild.Period(c.Per)})
	}
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		now := r.Timetable()
		t.ID, t.Rev = now.ID, now.Rev
		return r.SetTimetable(t)
	}, nil
}

func (p *player) milestone(x milestonePage) (func(*rebuild.Rebuild) (rebuild.Change, error), error) {
	late, err := p.sum(x.Late)
	if err != nil {
		return nil, err
	}
	m := rebuild.Milestone{Name: x.Name, Gate: rebuild.Gate(x.Gate), WishedOn: p.dateIf(x.Wished), LateOnce: late, Note: x.Note}
	for _, key := range x.Jobs {
		m.Jobs = append(m.Jobs, p.jobs[key])
	}
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddMilestone(m) }, nil
}

func (p *player) jobPlan(x jobPlanPage) func(*rebuild.Rebuild) (rebuild.Change, error) {
	k := rebuild.JobPlan{
		JobID: p.jobs[x.Job], WithoutMe: x.Without, WaitDays: x.Wait, Noisy: x.Noisy, Daylight: x.Daylight, SetUp: x.SetUp,
		Outside: x.Outside[2] > 0, CarGoes: x.CarGoes, OutsideDays: rangeOf(x.Outside), Note: x.Note,
	}
	for _, key := range x.After {
		k.After = append(k.After, p.jobs[key])
	}
	for _, day := range x.Slots {
		k.Slots = append(k.Slots, p.clock.date(day))
	}
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		for _, name := range x.Helpers {
			i := slices.IndexFunc(r.People, func(who rebuild.Person) bool { return who.Name == name })
			if i < 0 {
				return rebuild.Change{}, fmt.Errorf("nobody is called %q", name)
			}
			k.Helpers = append(k.Helpers, r.People[i].ID)
		}
		for _, name := range x.Holds {
			i := slices.IndexFunc(r.Things, func(t rebuild.Thing) bool { return t.Name == name })
			if i < 0 {
				return rebuild.Change{}, fmt.Errorf("nothing is called %q", name)
			}
			k.Holds = append(k.Holds, rebuild.ThingUse{Thing: r.Things[i].ID, Count: 1})
		}
		return r.SetJobPlan(k)
	}
}

func (p *player) start(job string) func(*rebuild.Rebuild) (rebuild.Change, error) {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.StartJob(p.jobs[job], p.moment()) }
}

func (p *player) delivery(x deliveryPage) (func(*rebuild.Rebuild) (rebuild.Change, error), error) {
	price, err := p.sum(x.Amount)
	if err != nil {
		return nil, err
	}
	d := rebuild.Delivery{
		JobID: p.jobs[x.Job], What: x.What, Supplier: x.Supplier, OrderedOn: p.dateIf(x.Ordered), LeadDays: rangeOf(x.Lead), ExpectedOn: p.dateIf(x.Expected),
		Amount: price, Note: x.Note,
	}
	if x.Faster > 0 {
		cost, err := p.sum(x.For)
		if err != nil {
			return nil, err
		}
		d.Faster = &rebuild.Faster{Days: x.Faster, Cost: cost}
	}
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddDelivery(d) }, nil
}

func (p *player) arrival(x deliveryPage) func(*rebuild.Rebuild) (rebuild.Change, error) {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		i := slices.IndexFunc(r.Deliveries, func(d rebuild.Delivery) bool { return d.What == x.What })
		if i < 0 {
			return rebuild.Change{}, fmt.Errorf("no delivery is called %q", x.What)
		}
		return r.Arrive(r.Deliveries[i].ID, p.clock.date(p.clock.day))
	}
}

// checkPlan finds jobs that there are none of, and what the plan is told of before
// it is there.
func (s story) checkPlan(say complain, jobs map[string]int) {
	told := func(what, job string, day int) {
		before, known := jobs[job]
		if job != "" && !known {
			say("%s names the job %q, which is not there", what, job)
			return
		}
		if job != "" {
			orderly(say, what, day, before)
		}
	}
	for _, x := range s.Plan.Jobs {
		told("the plan of "+x.Job, x.Job, x.Day)
		for _, key := range x.After {
			told("the plan of "+x.Job, key, x.Day)
		}
	}
	for _, x := range s.Plan.Milestones {
		for _, key := range x.Jobs {
			told("the milestone "+x.Name, key, x.Day)
		}
	}
	for _, x := range s.Plan.Deliveries {
		told("the delivery "+x.What, x.Job, x.Day)
	}
}
