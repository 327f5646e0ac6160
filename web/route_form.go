package web

import (
	"fmt"
	"math"
	"strings"

	"wreckwright/rebuild"
)

// routeFields is what the form of a route needs besides its values. Field names
// begin with Prefix.
type routeFields struct {
	Form     *Form
	Prefix   string
	Kinds    []Option
	Methods  []Option
	Currency string
}

// MayFail reports whether the part about failing is to be seen at once.
func (r routeFields) MayFail() bool {
	return r.Form.Value(r.Prefix+"works") != "" || r.Form.hasRoute(r.Prefix+"fallback.")
}

// kindNames says in words what the kinds of route mean.
var kindNames = map[rebuild.RouteKind]string{
	rebuild.Repair: "Repair", rebuild.Recondition: "Recondition", rebuild.Used: "Used part", rebuild.NewPart: "New part", rebuild.Leave: "Leave it",
}

// methodNames says in words what the methods mean.
var methodNames = map[rebuild.Method]string{
	rebuild.MethodPlain:      "Take off, put on, set",
	rebuild.MethodBonded:     "Bonded, filled or taped",
	rebuild.MethodWelded:     "Welded or brazed",
	rebuild.MethodStraighten: "Straightened",
	rebuild.MethodMachined:   "Machined, bored, re-threaded",
}

func newRouteFields(f *Form, prefix, currency string) routeFields {
	fields := routeFields{Form: f, Prefix: prefix, Currency: currency}
	for _, kind := range rebuild.RouteKinds {
		fields.Kinds = append(fields.Kinds, Option{string(kind), kindNames[kind]})
	}
	for _, method := range rebuild.Methods {
		fields.Methods = append(fields.Methods, Option{string(method), methodNames[method]})
	}
	return fields
}

// setRoute fills the fields of a route.
func (f *Form) setRoute(prefix string, r *rebuild.Route) {
	f.Set(prefix+"kind", string(r.Kind))
	f.Set(prefix+"method", string(r.Method))
	f.Set(prefix+"name", r.Name)
	f.Set(prefix+"basis", r.Basis)
	f.setCosts(prefix+"cost", r.Cost)
	f.setRange(prefix+"hours", r.Hours)
	if r.Works < 1 {
		f.Set(prefix+"works", trimNumber(math.Round(r.Works*1e6)/1e4))
	}
	if r.Fallback == nil {
		return
	}
	f.Set(prefix+"fallback.name", r.Fallback.Name)
	f.setCosts(prefix+"fallback.cost", r.Fallback.Cost)
	f.setRange(prefix+"fallback.hours", r.Fallback.Hours)
}

// hasRoute reports whether anything was typed into the fields of a route.
func (f *Form) hasRoute(prefix string) bool {
	for name, values := range f.Values {
		typed := strings.HasPrefix(name, prefix) && name != prefix+"kind" && name != prefix+"method" && name != prefix+"choose"
		if typed && len(values) > 0 && values[0] != "" {
			return true
		}
	}
	return false
}

// readRoute reads the fields of a route.
func (f *Form) readRoute(prefix, currency string) rebuild.Route {
	r := rebuild.Route{
		Kind:   rebuild.RouteKind(f.Value(prefix + "kind")),
		Method: rebuild.Method(f.Value(prefix + "method")),
		Name:   f.Value(prefix + "name"),
		Cost:   f.costRange(prefix+"cost", "its cost", currency),
		Hours:  f.numberRange(prefix+"hours", "its hours"),
		Works:  f.share(prefix+"works", "the chance that it works", 1),
		Basis:  f.Value(prefix + "basis"),
	}
	if f.hasRoute(prefix + "fallback.") {
		r.Fallback = &rebuild.Fallback{
			Name:  f.Value(prefix + "fallback.name"),
			Cost:  f.costRange(prefix+"fallback.cost", "the fallback's cost", currency),
			Hours: f.numberRange(prefix+"fallback.hours", "the fallback's hours"),
		}
	}
	if r.Name == "" {
		r.Name = kindNames[r.Kind] // a few words less to type with one hand
	}
	return r
}

// renameProblems gives the problems of the job's n-th route, counted from 1,
// the field names that the form uses.
func (f *Form) renameProblems(n int, prefix string) {
	from := fmt.Sprintf("routes.%d.", n)
	for i, p := range f.Problems {
		if rest, ok := strings.CutPrefix(p.Field, from); ok {
			f.Problems[i].Field = prefix + rest
		}
	}
}
