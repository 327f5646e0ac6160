package workshop

import (
	"cmp"
	"math"

	"wreckwright/rebuild"
	"wreckwright/uncertain"
	"wreckwright/working"
)

// RouteView is one route of a job beside the others. Money is in the rebuild's
// currency. The figures are the person's own; the own bias, which moves all
// routes alike, is left to the forecast.
type RouteView struct {
	Route rebuild.Route
	Cost  float64 // expected money, failure counted
	Hours float64 // expected own hours, failure counted
	Total float64 // Cost and, where an own hour has a worth, Hours at it

	// Doubt is the 10, 50 and 90 % points of the total.
	Doubt uncertain.Range
	// Saving is the reference price less Total; nil where none is known.
	Saving *float64
	Bars   []rebuild.Bar // why it must not be used; none when it may

	Chosen   bool
	Planned  bool // what the forecast counts with: chosen, or cheapest by its likely cost while none is
	Cheapest bool // least Total among those that may be used and repair the fault

	BreakEven *BreakEven // nil where the route cannot fail or has no rival
	Working   working.Working
}

// BreakEven is the chance of working at which a route costs as much as its
// cheapest rival.
type BreakEven struct {
	Works  float64 // 0: dearer never; 1: not even when it is certain to work
	Rival  string  // the route compared with
	Margin float64 // the route's own chance of working less Works
	// TestWorth is what it would be worth at most to know beforehand whether the
	// route works: the expected value of perfect information.
	TestWorth float64
}

// Usable reports whether the route may be used.
func (v RouteView) Usable() bool { return len(v.Bars) == 0 }

// repairs reports whether the route is a rival to others: it may be used, and it
// does something about the fault.
func (v RouteView) repairs() bool { return v.Usable() && v.Route.Kind != rebuild.Leave }

// Routes lays a job's routes side by side, in their own order.
func Routes(r *rebuild.Rebuild, j *rebuild.Job) []RouteView {
	views := routeValues(r, j)
	for i := range views {
		views[i].Doubt = doubtOf(j, views[i].Route, r.Car)
		views[i].explain(r)
	}
	return views
}

// routeValues is Routes without the doubt and the working, which take longer.
func routeValues(r *rebuild.Rebuild, j *rebuild.Job) []RouteView {
	planned, _ := j.Planned()
	views := make([]RouteView, 0, len(j.Routes))
	for _, route := range j.Routes {
		v := valueOf(route, r.Car.HourValue.Float())
		v.Bars = rebuild.Bars(j.Safety, route)
		v.Chosen, v.Planned = route.ID == j.Chosen, route.ID == planned.ID
		if j.Reference.Minor > 0 {
			v.Saving = new(j.Reference.Float() - v.Total)
		}
		views = append(views, v)
	}
	if best := cheapest(views, -1); best >= 0 {
		views[best].Cheapest = true
	}
	for i := range views {
		views[i].BreakEven = breakEven(views, i, r.Car.HourValue.Float())
	}
	return views
}

// valueOf gives a route's expected figures in closed form.
//
// ref: DESIGN_ROUTES
func valueOf(route rebuild.Route, hourValue float64) RouteView {
	v := RouteView{Route: route, Cost: mean(route.Cost), Hours: mean(route.Hours)}
	if f := route.Fallback; f != nil {
		v.Cost += (1 - route.Works) * mean(f.Cost)
		v.Hours += (1 - route.Works) * mean(f.Hours)
	}
	v.Total = v.Cost + hourValue*v.Hours
	return v
}

func mean(r uncertain.Range) float64 { return r.Curve().MeanCut() }

// cheapest is the place of the rival with the least total, leaving one out; -1
// when there is none.
func cheapest(views []RouteView, but int) int {
	best := -1
	for i, v := range views {
		if i != but && v.repairs() && (best < 0 || v.Total < views[best].Total) {
			best = i
		}
	}
	return best
}

// breakEven compares a route that may fail with the cheapest other one. With F
// for the fallback, C for the route without it and A for the rival, the two cost
// the same at C + (1-p) F = A.
//
// ref: DESIGN_ROUTES
func breakEven(views []RouteView, i int, hourValue float64) *BreakEven {
	v := views[i]
	rival := cheapest(views, i)
	if rival < 0 || v.Route.Fallback == nil || !v.repairs() {
		return nil
	}
	f := mean(v.Route.Fallback.Cost) + hourValue*mean(v.Route.Fallback.Hours)
	if f <= 0 {
		return nil
	}
	p := v.Route.Works
	c, a := v.Total-(1-p)*f, views[rival].Total
	works := math.Min(1, math.Max(0, 1-(a-c)/f))
	blind := math.Min(v.Total, a)
	informed := p*math.Min(c, a) + (1-p)*math.Min(c+f, a)
	return &BreakEven{works, views[rival].Route.Name, p - works, math.Max(0, blind-informed)}
}

// doubtTrials are few, since only a range is drawn from them: the chance at its
// ends is good to 2 points (95 %).
const doubtTrials = 1024

// doubtOf simulates one route: cost and, where an own hour has a worth, hours,
// with the fallback where it fails.
func doubtOf(j *rebuild.Job, route rebuild.Route, car rebuild.Car) uncertain.Range {
	hourValue := car.HourValue.Float()
	certain := route.Fallback == nil || route.Works >= 1
	if certain && (hourValue == 0 || route.Hours == uncertain.Range{}) {
		return route.Cost
	}
	d := drawer{key: drawKey(j, route), loading: uncertain.NewLoading(car.Correlation, uncertain.NoBias())}
	d.factor = d.scores("factor")
	total := d.values("cost", route.Cost)
	d.addTo(total, "hours", route.Hours, hourValue, nil)
	if !certain {
		failed := make([]bool, doubtTrials)
		works := uncertain.NewStream(1, d.key, "works")
		for t := range failed {
			failed[t] = works.Uniform(t) < 1-route.Works
		}
		d.addTo(total, "fallback cost", route.Fallback.Cost, 1, failed)
		d.addTo(total, "fallback hours", route.Fallback.Hours, hourValue, failed)
	}
	uncertain.SortFloats(total)
	return uncertain.Range{
		Low: uncertain.SampleQuantile(total, 0.1), Likely: uncertain.SampleQuantile(total, 0.5), High: uncertain.SampleQuantile(total, 0.9),
	}
}

// drawer draws the inputs of one route with one common factor.
type drawer struct {
	key     string
	loading uncertain.Loading
	factor  []float64
}

// scores are the standard normal numbers of an input.
func (d drawer) scores(input string) []float64 {
	stream := uncertain.NewStream(1, d.key, input)
	z := make([]float64, doubtTrials)
	for t := range z {
		z[t] = uncertain.NormalQuantile(stream.Uniform(t))
	}
	return z
}

// values are the input in every trial, cut at zero.
func (d drawer) values(input string, r uncertain.Range) []float64 {
	curve, column := r.Curve(), d.scores(input)
	for t, own := range column {
		column[t] = max(0, curve.At(d.loading.Common*d.factor[t]+d.loading.Own*own))
	}
	return column
}

// addTo adds factor times the input in those trials; nil is all of them.
func (d drawer) addTo(total []float64, input string, r uncertain.Range, factor float64, in []bool) {
	if factor == 0 || (r == uncertain.Range{}) {
		return
	}
	for t, v := range d.values(input, r) {
		if in == nil || in[t] {
			total[t] += factor * v
		}
	}
}

func (v *RouteView) explain(r *rebuild.Rebuild) {
	money, source := r.Car.Currency, cmp.Or(v.Route.Basis, "own estimate")
	v.Working.Add("cost when it works", "mean of the range", mean(v.Route.Cost), money, source)
	if f := v.Route.Fallback; f != nil {
		v.Working.Add("chance that it fails", "1 - chance that it works", 1-v.Route.Works, "", source)
		v.Working.Add("fallback", "mean of the range", mean(f.Cost), money, source)
	}
	v.Working.Add("expected cost", "cost + chance of failing x fallback", v.Cost, money, "DESIGN_ROUTES")
	v.Working.Add("expected own hours", "hours + chance of failing x the fallback's hours", v.Hours, "h", source)
	if !r.Car.HourValue.IsZero() {
		v.Working.Add("expected total", "cost + hours x worth of an own hour", v.Total, money, "DESIGN_ROUTES")
	}
	if v.Saving != nil {
		v.Working.Add("saving", "reference price - expected total", *v.Saving, money, "own record")
	}
	if b := v.BreakEven; b != nil {
		v.Working.Add("break-even chance of working", "1 - (rival - cost when it works)/fallback, held to 0..1", b.Works, "", "DESIGN_ROUTES")
		v.Working.Add("worth of a certain test beforehand", "least expected total now - expected total when told first", b.TestWorth, money, "DESIGN_ROUTES")
	}
}
