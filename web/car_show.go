package web

import (
	"html/template"
	"net/http"
	"strings"

	"wreckwright/chart"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// carPage is what is known of the car, the frame of its rebuild, and its stages.
type carPage struct {
	Frame
	Form          *Form
	Jurisdictions []Option
	Currencies    []Option
	Categories    []knowledge.Category // of the car's jurisdiction
	Category      *knowledge.Category  // the car's own, where it is known
	Way           template.HTML
	Stages        []carStage
	MoneyFixed    bool // sums were entered: the currency stays
}

// carStage is a stage with what it answers and what must be right in it.
type carStage struct {
	*rebuild.Stage
	Question string
	Right    []string
	Form     *Form
	Open     bool
	States   []Option
}

func (s *Server) carShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.setCar(rb.Car)
	return s.carForm(w, r, http.StatusOK, rb, f, nil)
}

// carForm shows the page; refused is a stage whose form is shown again, or nil.
func (s *Server) carForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, f *Form, refused *carStage) error {
	frame, err := s.frame(r, "Car", "car", rb)
	if err != nil {
		return err
	}
	page := carPage{
		Frame: frame, Form: f, Jurisdictions: jurisdictionOptions(), Currencies: currencyOptions(rb.Car.Currency),
		Way: wayOf(rb), Stages: carStages(rb, refused, frame.Today), MoneyFixed: len(rb.Entries) > 0,
	}
	for _, c := range knowledge.Categories() {
		if c.Jurisdiction == rb.Car.Jurisdiction {
			page.Categories = append(page.Categories, c)
		}
	}
	if c, ok := knowledge.CategoryFor(rb.Car.Jurisdiction, strings.ToUpper(rb.Car.Category)); ok {
		page.Category = &c
	}
	return s.show(w, status, "car", page)
}

// currencyOptions are the usual ones, with the car's own among them.
func currencyOptions(own string) []Option {
	options := optionsOf(currencies)
	for _, o := range options {
		if o.Value == own {
			return options
		}
	}
	return append([]Option{{own, own}}, options...)
}

// wayOf draws the stages as stations of a way.
func wayOf(rb *rebuild.Rebuild) template.HTML {
	p := chart.Progress{Head: chart.Head{ID: "way", Title: "Stages"}}
	states := map[rebuild.StageState]chart.StageState{
		rebuild.StageAhead: chart.StageAhead, rebuild.StageUnderWay: chart.StageNow, rebuild.StageDone: chart.StageDone,
	}
	for _, stage := range rb.Stages {
		p.Stages = append(p.Stages, chart.Stage{Name: stage.Label(), State: states[stage.State]})
	}
	return chart.NewProgress(p).HTML()
}

func carStages(rb *rebuild.Rebuild, refused *carStage, today string) []carStage {
	known := knowledge.Stages()
	stages := make([]carStage, len(rb.Stages))
	for i := range rb.Stages {
		stage := &rb.Stages[i]
		stages[i] = carStage{Stage: stage, States: optionsOf([]rebuild.StageState{rebuild.StageAhead, rebuild.StageUnderWay, rebuild.StageDone})}
		if i < len(known) {
			stages[i].Question, stages[i].Right = known[i].Question, known[i].Right
		}
		if refused != nil && refused.Number == stage.Number {
			stages[i].Form, stages[i].Open = refused.Form, true
			continue
		}
		f := &Form{}
		f.Set("state", string(stage.State))
		f.Set("done_on", stage.DoneOn)
		f.Set("note", stage.Note)
		if stage.DoneOn == "" && stage.State == rebuild.StageUnderWay {
			f.Set("done_on", today)
		}
		stages[i].Form = f
	}
	return stages
}

// setCar fills the form with the car.
func (f *Form) setCar(car rebuild.Car) {
	for field, value := range map[string]string{
		"name": car.Name, "maker": car.Maker, "model": car.Model, "vin": car.VIN, "plate": car.Plate,
		"colour": car.Colour, "jurisdiction": car.Jurisdiction, "category": car.Category,
		"distance_unit": car.DistanceUnit, "bought_on": car.BoughtOn, "currency": car.Currency,
		"wanted_by": car.WantedBy, "note": car.Note, "correlation": trimNumber(car.Correlation),
	} {
		f.Set(field, value)
	}
	f.setCarFigures(car)
}

// setCarFigures leaves a figure that is not known empty.
func (f *Form) setCarFigures(car rebuild.Car) {
	figures := map[string]float64{"year": float64(car.Year), "distance": float64(car.Distance), "hours_per_week": car.HoursPerWeek}
	for field, value := range figures {
		if value != 0 {
			f.Set(field, trimNumber(value))
		}
	}
	if car.Ceiling.Minor != 0 {
		f.Set("ceiling", car.Ceiling.Number())
	}
	if car.HourValue.Minor != 0 {
		f.Set("hour_value", car.HourValue.Number())
	}
}
