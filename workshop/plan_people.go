package workshop

import (
	"fmt"
	"time"

	"wreckwright/plan"
	"wreckwright/rebuild"
)

// usualHours is what the car gets in a week where nothing is said.
//
// ref: DESIGN_PLAN_OF_A_REBUILD usual week
const usualHours = 14.0

// usualWeek are the hours of somebody with a job: two evenings and a Saturday,
// made longer or shorter in proportion. What does not fit into evenings is spread
// over all days from eight in the morning.
//
// ref: DESIGN_PLAN_OF_A_REBUILD usual week
func usualWeek(hours float64) plan.Week {
	var week plan.Week
	if hours > 28 {
		each := min(24, hours/7)
		from := min(8, 24-each)
		for day := range week {
			week[day] = []plan.Hours{{From: from, To: from + each}}
		}
		return week
	}
	by := hours / usualHours
	week[time.Tuesday] = []plan.Hours{{From: 18.5, To: 18.5 + 2.5*by}}
	week[time.Thursday] = []plan.Hours{{From: 18.5, To: 18.5 + 2.5*by}}
	week[time.Saturday] = []plan.Hours{{From: 9 - 4*max(0, by-1), To: 9 - 4*max(0, by-1) + 9*by}}
	return week
}

// Names of resources: own hands are always there.
const (
	ownHands   = "own-hands"
	theCar     = "the-car"
	carHolders = 1000 // jobs that can be done on it side by side, as far as the car itself goes
)

func helperID(id int64) string { return fmt.Sprintf("helper-%d", id) }

func thingID(id int64) string { return fmt.Sprintf("thing-%d", id) }

// people enters who works and what is shared.
func (b *planner) people() {
	own := b.r.OwnHands()
	week := usualWeek(usualHours)
	switch hours := b.r.Car.HoursPerWeek; {
	case own != nil:
		week = weekOf(own.Hours)
	case hours > 0:
		week = usualWeek(hours)
		b.assume("Nobody has entered when you work: the %.4g h of a week are taken as two evenings and a Saturday.", hours)
	default:
		b.assume("Nobody has entered when you work: 14 h a week are taken, two evenings and a Saturday.")
	}
	b.p.Week = &week
	me := plan.Resource{ID: ownHands, Name: "you", Capacity: 1}
	if own != nil {
		me.Name, me.Away, me.Extra = own.Name, b.spans(own.Away), b.openings(own.Extra)
	}
	b.p.Resources = append(b.p.Resources, me)
	for _, h := range b.r.Helpers() {
		week := weekOf(h.Hours)
		b.p.Resources = append(b.p.Resources, plan.Resource{ID: helperID(h.ID), Name: h.Name, Capacity: 1, Week: &week, Away: b.spans(h.Away), Extra: b.openings(h.Extra)})
	}
	for i := range b.r.Things {
		b.thing(&b.r.Things[i])
	}
	b.p.Resources = append(b.p.Resources, plan.Resource{ID: theCar, Name: "the car", Capacity: carHolders, Always: true})
	b.p.Closed = b.spans(b.r.Timetable().Closed)
}

// goneAgain is after how many days something that was hired can be had again.
//
// ref: DESIGN_PLAN_OF_A_REBUILD hired things
const goneAgain = 28

func (b *planner) thing(t *rebuild.Thing) {
	r := plan.Resource{ID: thingID(t.ID), Name: t.Name, Capacity: t.Count, Always: true}
	from, to := b.day(t.From), b.day(t.To)+1
	if t.From != "" && from > 0 || t.To != "" && to < furthest {
		var always plan.Week
		for day := range always {
			always[day] = []plan.Hours{{From: 0, To: 24}}
		}
		r.Always, r.Week = false, &always
	}
	if t.From != "" && from > 0 && from < furthest {
		r.Away = append(r.Away, plan.Span{FromDay: 0, ToDay: from})
	}
	if t.To != "" && to < furthest {
		r.Away = append(r.Away, plan.Span{FromDay: max(0, to), ToDay: max(max(0, to), b.p.TodayDay) + goneAgain})
		b.assume("%q is there until %s; whatever needs it later is taken to have it again four weeks after that.", t.Name, t.To)
	}
	b.p.Resources = append(b.p.Resources, r)
}

func weekOf(hours []rebuild.WorkHours) plan.Week {
	var week plan.Week
	for _, h := range hours {
		week[h.Weekday] = append(week[h.Weekday], plan.Hours{From: float64(h.From) / 60, To: float64(h.To) / 60})
	}
	return week
}

// spans are days away that lie ahead, or near enough behind.
func (b *planner) spans(list []rebuild.DaySpan) []plan.Span {
	var out []plan.Span
	for _, s := range list {
		from, to := b.day(s.From), b.day(s.To)+1
		if to > 0 && from < furthest {
			out = append(out, plan.Span{FromDay: max(0, from), ToDay: min(to, furthest)})
		}
	}
	return out
}

func (b *planner) openings(list []rebuild.Opening) []plan.Opening {
	var out []plan.Opening
	for _, o := range list {
		if on := b.day(o.On); on >= 0 && on < furthest {
			out = append(out, plan.Opening{Day: int(on), Hours: plan.Hours{From: float64(o.From) / 60, To: float64(o.To) / 60}})
		}
	}
	return out
}
