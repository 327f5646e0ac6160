package workshop

import (
	"fmt"
	"time"

	"wreckwright/rebuild"
)

// nearBreakEven is how close a route's chance of working is to the break-even
// point for a test to be worth thinking of.
// common practice, no source
const nearBreakEven = 0.2

// choosing: the choice that moves the forecast the most, and the test that would
// decide a close one.
func (a *adviser) choosing() {
	for i := range a.rebuild.Jobs {
		j := &a.rebuild.Jobs[i]
		if !j.Ahead() || len(j.Routes) < 2 {
			continue
		}
		views := routeValues(a.rebuild, j)
		if j.Chosen == 0 {
			a.choose(j, views)
		}
		a.test(j, views)
	}
}

func (a *adviser) choose(j *rebuild.Job, views []RouteView) {
	best := cheapest(views, -1)
	dearest, rivals := best, 0
	for i, v := range views {
		if !v.repairs() {
			continue
		}
		rivals++
		if v.Total > views[dearest].Total {
			dearest = i
		}
	}
	if rivals < 2 {
		return
	}
	gap := views[dearest].Total - views[best].Total
	action := about(Choose, j, "Choose the route of")
	action.Stake = gap
	action.Why = phrase("The routes differ by %s; %s is cheapest with %s, failure counted.",
		a.money("between the routes", gap), named(views[best].Route.Name), a.money("expected", views[best].Total))
	for _, v := range views {
		if v.repairs() {
			action.Working.Add(v.Route.Name, "cost + chance of failing x fallback + hours x worth of an own hour", v.Total, a.rebuild.Car.Currency, "DESIGN_ROUTES")
		}
	}
	action.Working.Add("between the routes", "dearest - cheapest", gap, a.rebuild.Car.Currency, "DESIGN_ROUTES")
	a.add(action, a.shareOf(gap))
}

// named is what a person called something, inside a phrase.
func named(text string) Figure { return Figure{Kind: Name, Text: text} }

func (a *adviser) test(j *rebuild.Job, views []RouteView) {
	if j.State == rebuild.JobDoing || a.paid[j.ID] > 0 {
		return
	}
	for _, v := range views {
		b := v.BreakEven
		if !v.Planned || b == nil || b.TestWorth <= 0 || b.Margin > nearBreakEven || b.Margin < -nearBreakEven {
			continue
		}
		action := about(TestFirst, j, "Test before buying for")
		action.Stake = b.TestWorth
		action.Why = phrase("%s works with %s; below %s %s would be the cheaper way. To know beforehand is worth up to %s.",
			named(v.Route.Name), chance("works", v.Route.Works), chance("break-even", b.Works), named(b.Rival), a.money("worth of a test", b.TestWorth))
		action.Working = append(action.Working, v.Working...)
		action.Working.Add("break-even chance of working", "1 - (rival - cost when it works)/fallback", b.Works, "", "DESIGN_ROUTES")
		action.Working.Add("worth of a certain test", "least expected total now - expected total when told first", b.TestWorth, a.rebuild.Car.Currency, "DESIGN_ROUTES")
		a.add(action, a.shareOf(b.TestWorth))
	}
}

// opening: the zone that hides the most expected money.
func (a *adviser) opening() {
	for i := range a.rebuild.Zones {
		z := &a.rebuild.Zones[i]
		left := z.HiddenLeft()
		if left <= 0 {
			continue
		}
		hidden := left * mean(z.HiddenCost)
		action := Action{
			Kind: OpenUp, Title: "Open up: " + z.Place().Name, Stake: hidden, Target: Target{Page: "zone", Zone: z.Place().Key}, zone: z.Place().Key,
			Why: phrase("%s is expected to hide there; opened, it is either found or off the forecast.", a.money("hidden", hidden)),
		}
		action.Working.Add("faults still to be expected", "number expected x share still closed", left, "", "own estimate")
		action.Working.Add("expected to hide", "x mean cost of one", hidden, a.rebuild.Car.Currency, "DESIGN_FORECAST")
		a.add(action, a.shareOf(hidden))
	}
}

// usualWait is after how many days something paid for may have come.
// common practice, no source
const usualWait = 7

// asking: a job waits although what it waits for may be there.
func (a *adviser) asking() {
	var paidOn map[int64]string
	for i := range a.rebuild.Jobs {
		j := &a.rebuild.Jobs[i]
		if j.State != rebuild.JobWaiting {
			continue
		}
		if paidOn == nil {
			paidOn = a.lastPaid()
		}
		what := j.WaitingFor
		if what == "" {
			what = "what it waits for"
		}
		days, paid := daysBetween(paidOn[j.ID], a.today)
		why, share := fmt.Sprintf("%q stands still until then.", j.Title), 0.2
		if paid && days >= usualWait {
			why, share = fmt.Sprintf("%q stands still; the last payment on it was %d days ago, so the wait may be over.", j.Title, days), 0.8
		} else if paid {
			why, share = fmt.Sprintf("%q stands still; the last payment on it was %d days ago.", j.Title, days), 0.1
		}
		a.add(Action{Kind: Ask, Title: "Ask after " + what, Why: words(why), Target: Target{Page: "job", ID: j.ID}}, share)
	}
}

// lastPaid is the day of the latest entry of each job.
func (a *adviser) lastPaid() map[int64]string {
	last := map[int64]string{}
	for i := range a.rebuild.Entries {
		if e := &a.rebuild.Entries[i]; e.On > last[e.JobID] {
			last[e.JobID] = e.On
		}
	}
	return last
}

func daysBetween(from, to string) (days int, ok bool) {
	x, errX := time.Parse(time.DateOnly, from)
	y, errY := time.Parse(time.DateOnly, to)
	return int(y.Sub(x).Hours() / 24), errX == nil && errY == nil && !y.Before(x)
}

// working: the job whose turn it is by the plan, or else the one that is ready and
// brings the most for an own hour.
func (a *adviser) working() {
	var best *rebuild.Job
	bestWorth := 0.0
	for i := range a.rebuild.Jobs {
		j := &a.rebuild.Jobs[i]
		route := j.ChosenRoute()
		if route == nil || j.State != rebuild.JobOpen && j.State != rebuild.JobDoing {
			continue
		}
		if j.State == rebuild.JobDoing {
			a.finish(j)
			continue
		}
		if worth := a.worthPerHour(j, *route); best == nil || worth > bestWorth {
			best, bestWorth = j, worth
		}
	}
	if best == nil {
		return
	}
	if j, line := a.turn(); j != nil {
		a.workInTurn(j, line)
		return
	}
	action := about(Work, best, "Do")
	action.Why = words("It is ready: its route is chosen and it waits for nothing.")
	if bestWorth > 0 {
		action.Stake = bestWorth
		action.Why = phrase("It is ready, and saves the most for an own hour: %s against the trade's price.", a.money("saved an hour", bestWorth))
		action.Working.Add("saved an own hour", "(reference price - still to pay)/own hours left", bestWorth, a.rebuild.Car.Currency, "own record")
	}
	a.add(action, 0.3)
}

// finish: what is begun comes before what is not.
func (a *adviser) finish(j *rebuild.Job) {
	hours := 0.0
	if d := a.outlook.JobDriver(j.ID); d != nil {
		hours = d.Hours
	}
	action := about(Work, j, "Finish")
	action.Why = words("It is begun.")
	if hours > 0 {
		action.Why = phrase("It is begun and has some %s left.", inHours("own hours left", hours))
	}
	a.add(action, 1/(1+hours/8)/2+0.4)
}

// worthPerHour is what the job saves against the trade for each own hour left; 0
// where no reference price is known.
func (a *adviser) worthPerHour(j *rebuild.Job, route rebuild.Route) float64 {
	if j.Reference.Minor <= 0 {
		return 0
	}
	v := valueOf(route, 0)
	toPay := max(0, v.Cost-a.rebuild.Amount(a.paid[j.ID]).Float())
	// A job of no hours is not worth everything: a quarter of an hour is the least.
	return (j.Reference.Float() - toPay) / max(0.25, v.Hours-j.HoursSpent)
}
