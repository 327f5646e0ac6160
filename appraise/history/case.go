package history

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// The kinds of event.
const (
	Registration   = "registration"
	Inspection     = "inspection"
	Service        = "service"
	Repair         = "repair"
	Sale           = "sale"
	KeeperChange   = "keeper change"
	PlateChange    = "plate change"
	WriteOff       = "write-off"
	Scrapped       = "scrapped"
	Destroyed      = "destroyed"
	Export         = "export"
	Import         = "import"
	Stolen         = "stolen"
	Recovered      = "recovered"
	Finance        = "finance"
	FinanceSettled = "finance settled"
	Odometer       = "odometer"
)

// Kinds are the kinds of event, in the order in which a form offers them.
var Kinds = []string{
	Registration, Inspection, Service, Repair, Sale, KeeperChange, PlateChange, WriteOff, Scrapped, Destroyed,
	Export, Import, Stolen, Recovered, Finance, FinanceSettled, Odometer,
}

// The units of distance and the results of an inspection.
const (
	Miles      = "mi"
	Kilometres = "km"
	Pass       = "pass"
	Fail       = "fail"
)

// MaxOdometer is more than any instrument shows.
const MaxOdometer = 9_999_999

// Case is what is known of a car's past.
type Case struct {
	Jurisdiction string // where it is to be used: a key of the rules, or any other text
	Vehicle      Vehicle
	Events       []Event
	// Passed are days on which the owner's own official tests were passed. They say
	// when the next is due; they are no part of the past that is looked over for
	// gaps and contradictions.
	Passed  []time.Time
	Today   time.Time
	Private bool // the buyer buys for own use, not in the way of a trade
}

// Vehicle is what is known of the car itself.
type Vehicle struct {
	FirstUsed    time.Time
	DistanceUnit string // Miles or Kilometres
	ModelYear    int    // 0: not known
}

// Event is one thing that happened.
type Event struct {
	Date         time.Time
	Undated      bool // the day is not known; Date is the day on which it was learnt
	Kind         string
	Odometer     *float64 // in Unit
	Unit         string   // "": the vehicle's
	Result       string   // of an inspection: Pass, Fail or ""
	Category     string   // of a write-off or scrapping, or the mark in the papers on a registration or import
	Jurisdiction string   // where it happened; "": worked out from imports
	From         string   // of an import: the jurisdiction that it came from; "" not known
	Note         string
}

// InputError says which part of a case cannot be.
type InputError struct {
	Where    string // "event 2, date"
	Problem  string
	Expected string
}

func (e *InputError) Error() string {
	return fmt.Sprintf("%s: %s; expected %s", e.Where, e.Problem, e.Expected)
}

// Validate reports the first thing that cannot be, as an [*InputError].
func (c Case) Validate() error {
	v := c.Vehicle
	switch {
	case c.Jurisdiction == "":
		return &InputError{"jurisdiction", "is empty", "where the car is to be used"}
	case v.FirstUsed.IsZero():
		return &InputError{"vehicle, first use", "is missing", "a day"}
	case v.FirstUsed.After(c.Today):
		return &InputError{"vehicle, first use", day(v.FirstUsed) + " lies in the future", "a day up to " + day(c.Today)}
	case v.DistanceUnit != Miles && v.DistanceUnit != Kilometres:
		return &InputError{"vehicle, distance unit", fmt.Sprintf("is %q", v.DistanceUnit), "mi or km"}
	}
	for i, e := range c.Events {
		if problem, expected := c.CheckEvent(e); problem != "" {
			return &InputError{fmt.Sprintf("event %d (%s)", i+1, e.Kind), problem, expected}
		}
	}
	return nil
}

// CheckEvent says what is wrong with one event of the case and what was
// expected; "" where nothing is.
func (c Case) CheckEvent(e Event) (problem, expected string) {
	switch {
	case !slices.Contains(Kinds, e.Kind):
		return fmt.Sprintf("kind %q is not known", e.Kind), fmt.Sprintf("one of %q", Kinds)
	case e.Date.IsZero():
		return "the date is missing", "a day"
	case e.Date.After(c.Today):
		return day(e.Date) + " lies in the future", "a day up to " + day(c.Today)
	case e.Date.Before(c.Vehicle.FirstUsed):
		return day(e.Date) + " is before the first use (" + day(c.Vehicle.FirstUsed) + ")", "a day from the first use on"
	case e.Odometer != nil && !(*e.Odometer >= 0 && *e.Odometer <= MaxOdometer) || e.Odometer != nil && math.IsNaN(*e.Odometer):
		return fmt.Sprintf("the odometer reading %g cannot be", *e.Odometer), fmt.Sprintf("0 to %d", MaxOdometer)
	case e.Odometer == nil && e.Kind == Odometer:
		return "the reading is missing", "an odometer reading"
	case !slices.Contains([]string{"", Miles, Kilometres}, e.Unit):
		return fmt.Sprintf("unit %q is not known", e.Unit), "mi or km"
	case !slices.Contains([]string{"", Pass, Fail}, e.Result):
		return fmt.Sprintf("result %q is not known", e.Result), "pass or fail"
	case e.Result != "" && e.Kind != Inspection:
		return "a result stands at something that is no inspection", "a result at inspections only"
	case e.From != "" && e.Kind != Import:
		return "a country of origin stands at something that is no import", "from at imports only"
	case e.Category != "" && !slices.Contains([]string{WriteOff, Scrapped, Destroyed, Registration, Import}, e.Kind):
		return "a category stands at something that gives none", "a category at write-offs, scrappings, registrations and imports only"
	}
	return "", ""
}

// on is the day of an event in words.
func (s *story) on(event int) string {
	if s.Events[event].Undated {
		return "a day not known"
	}
	return day(s.Events[event].Date)
}

func day(t time.Time) string { return t.Format(time.DateOnly) }

// days is the number of days from a to b.
func days(a, b time.Time) float64 { return math.Round(b.Sub(a).Hours() / 24) }

// daysAYear is the mean length of a year (Julian).
const daysAYear = 365.25
