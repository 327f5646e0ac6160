package rebuild

import "wreckwright/money/amount"

// Car is the car itself and the frame of its rebuild.
type Car struct {
	Rev int `json:"rev"`

	Name   string `json:"name"` // how the workshop calls it
	Maker  string `json:"maker"`
	Model  string `json:"model"`
	Year   int    `json:"year"` // model year; 0 not known
	VIN    string `json:"vin"`
	Plate  string `json:"plate"`
	Colour string `json:"colour"`

	Jurisdiction string `json:"jurisdiction"`  // UK, IE, DE, US, CA-ON, CA-BC, AU, EU
	Category     string `json:"category"`      // salvage category as the jurisdiction writes it; empty: none
	DistanceUnit string `json:"distance_unit"` // km or mi
	Distance     int64  `json:"distance"`      // odometer when bought, in that unit
	BoughtOn     string `json:"bought_on"`     // ISO date

	Currency string        `json:"currency"` // ISO 4217; fixed once money was entered
	Ceiling  amount.Amount `json:"ceiling"`  // zero: none set
	// HourValue is the worth of an own hour; zero leaves hours out of the money.
	HourValue    amount.Amount `json:"hour_value"`
	HoursPerWeek float64       `json:"hours_per_week"` // that the workshop gives to this car; 0 not known
	Correlation  float64       `json:"correlation"`    // common factor among the jobs, 0 to 0.95
	WantedBy     string        `json:"wanted_by"`      // ISO date it should be done by
	Note         string        `json:"note"`
	Shelved      bool          `json:"shelved"` // put away: not in the yard's first list
	// Candidate says that it is not bought yet, only weighed; [Rebuild.Buy] ends that.
	Candidate bool `json:"candidate"`
}

// Jurisdictions whose rules the workbench knows by name.
var Jurisdictions = []string{"UK", "IE", "DE", "US", "CA-ON", "CA-BC", "AU", "EU"}

// DefaultCorrelation is the common factor among costs when nobody says
// otherwise.
//
// ref: GAO_COST_GUIDE step 9, correlation between cost elements
const DefaultCorrelation = 0.25

// ItemKind is part of [Item].
func (c Car) ItemKind() Kind { return KindCar }

// ItemID is part of [Item].
func (c Car) ItemID() int64 { return 1 }

// Revision is part of [Item].
func (c Car) Revision() int { return c.Rev }

// Label is part of [Item].
func (c Car) Label() string { return c.Name }

// maxHourValue bounds the worth of an own hour, in major units: more than any
// currency needs, and what the forecast can reckon with.
const maxHourValue = 1_000_000

// Validate checks the car by itself.
func (c Car) Validate() error {
	var k checks
	k.text(c.Name, "name", "the name", 1, 80)
	k.text(c.Maker, "maker", "the maker", 0, 80)
	k.text(c.Model, "model", "the model", 0, 80)
	k.that(c.Year == 0 || (c.Year >= 1886 && c.Year <= 2200), "year", "the year %d is not between 1886 and 2200", c.Year)
	k.text(c.VIN, "vin", "the VIN", 0, 17)
	k.text(c.Plate, "plate", "the plate", 0, 20)
	k.text(c.Colour, "colour", "the colour", 0, 40)
	k.oneOf(c.Jurisdiction, "jurisdiction", "the jurisdiction", Jurisdictions...)
	k.text(c.Category, "category", "the salvage category", 0, 40)
	k.oneOf(c.DistanceUnit, "distance_unit", "the unit of distance", "km", "mi")
	k.that(c.Distance >= 0 && c.Distance < 10_000_000, "distance", "the odometer reading %d is not between 0 and 9,999,999", c.Distance)
	k.date(c.BoughtOn, "bought_on", "the day it was bought", false)
	k.that(!c.Candidate || c.BoughtOn == "", "bought_on", "a candidate is not bought yet, so there is no day %s on which it was", c.BoughtOn)
	k.that(amount.KnownCurrency(c.Currency), "currency", "currency %q is not an ISO 4217 code such as GBP or EUR", c.Currency)
	k.money(c.Ceiling, c.Currency, "ceiling", "the ceiling")
	k.that(c.Ceiling.Minor >= 0, "ceiling", "the ceiling cannot be below zero")
	k.money(c.HourValue, c.Currency, "hour_value", "the worth of an own hour")
	k.that(c.HourValue.Minor >= 0 && c.HourValue.Float() <= maxHourValue, "hour_value", "the worth of an own hour must be between 0 and %d", maxHourValue)
	k.that(c.HoursPerWeek >= 0 && c.HoursPerWeek <= 168, "hours_per_week", "a week has between 0 and 168 hours to give, not %.4g", c.HoursPerWeek)
	k.that(c.Correlation >= 0 && c.Correlation <= 0.95, "correlation", "the common factor must be between 0 and 0.95, not %.4g", c.Correlation)
	k.date(c.WantedBy, "wanted_by", "the day it should be done by", false)
	k.text(c.Note, "note", "the note", 0, 4000)
	return k.err()
}
