package web

import (
	"net/http"
	"strings"

	"wreckwright/rebuild"
)

// rebuildNewPage is the form that starts a rebuild.
type rebuildNewPage struct {
	Frame
	Form          *Form
	Jurisdictions []Option
	Currencies    []Option
}

// currencies offered first; any ISO code can be typed on the car's page.
var currencies = []string{"GBP", "EUR", "USD", "CAD", "AUD", "CHF", "SEK", "NOK", "DKK", "PLN", "CZK", "JPY", "NZD", "ZAR"}

func (s *Server) rebuildNewShow(w http.ResponseWriter, r *http.Request) error {
	f := &Form{}
	f.Set("jurisdiction", "UK")
	f.Set("currency", "GBP")
	f.Set("distance_unit", "mi")
	if r.URL.Query().Has("candidate") {
		f.Set("candidate", "1")
	}
	return s.rebuildNewForm(w, r, http.StatusOK, f)
}

func (s *Server) rebuildNewForm(w http.ResponseWriter, r *http.Request, status int, f *Form) error {
	frame, err := s.frame(r, "New rebuild", "", nil)
	if err != nil {
		return err
	}
	return s.show(w, status, "rebuild_new", rebuildNewPage{
		Frame: frame, Form: f, Jurisdictions: jurisdictionOptions(), Currencies: optionsOf(currencies),
	})
}

// jurisdictionNames says in words what the codes mean.
var jurisdictionNames = map[string]string{
	"UK": "United Kingdom", "IE": "Ireland", "DE": "Germany", "US": "United States",
	"CA-ON": "Canada, Ontario", "CA-BC": "Canada, British Columbia", "AU": "Australia", "EU": "elsewhere in the EU",
}

func jurisdictionOptions() []Option {
	var options []Option
	for _, code := range rebuild.Jurisdictions {
		options = append(options, Option{code, jurisdictionNames[code]})
	}
	return options
}

func (s *Server) rebuildNew(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	car := rebuild.Car{Correlation: rebuild.DefaultCorrelation}
	f.readCar(&car)
	car.Candidate = f.Has("candidate", "1")
	if len(f.Problems) == 0 {
		rb, err := s.workshop.Book().Start(r.Context(), s.by(r), car)
		if err == nil {
			// The start itself cannot be undone: no record is named, only that it was done.
			return s.goOn(w, r, withDid(firstPage(rb), 0))
		}
		if !f.take(err) {
			return err
		}
	}
	return s.rebuildNewForm(w, r, http.StatusUnprocessableEntity, f)
}

// readCar reads the fields of the car that the form has; what it has not stays.
func (f *Form) readCar(car *rebuild.Car) {
	text := func(field string, to *string) {
		if _, ok := f.Values[field]; ok {
			*to = f.Value(field)
		}
	}
	text("name", &car.Name)
	text("maker", &car.Maker)
	text("model", &car.Model)
	text("vin", &car.VIN)
	car.VIN = strings.NewReplacer(" ", "", "-", "").Replace(car.VIN) // printed in groups; a VIN has neither
	text("plate", &car.Plate)
	text("colour", &car.Colour)
	text("jurisdiction", &car.Jurisdiction)
	text("category", &car.Category)
	text("distance_unit", &car.DistanceUnit)
	text("bought_on", &car.BoughtOn)
	text("currency", &car.Currency)
	text("wanted_by", &car.WantedBy)
	text("note", &car.Note)
	f.readCarFigures(car)
}

func (f *Form) readCarFigures(car *rebuild.Car) {
	has := func(field string) bool { _, ok := f.Values[field]; return ok }
	if has("year") {
		car.Year = int(f.whole("year", "the year"))
	}
	if has("distance") {
		car.Distance = f.whole("distance", "the odometer reading")
	}
	if has("ceiling") {
		car.Ceiling = f.money("ceiling", "the ceiling", car.Currency)
	}
	if has("hour_value") {
		car.HourValue = f.money("hour_value", "the worth of an own hour", car.Currency)
	}
	if has("hours_per_week") {
		car.HoursPerWeek = f.number("hours_per_week", "the hours a week")
	}
	if has("correlation") {
		car.Correlation = f.number("correlation", "the common factor")
	}
}
