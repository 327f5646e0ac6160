package web

import (
	"net/http"
	"strconv"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// timetablePage is what holds for the whole plan, and the ways to who works, what
// is shared and what is to be reached by when.
type timetablePage struct {
	Frame
	Table      rebuild.Timetable
	Form       *Form
	Periods    []Option
	CostPerDay float64
}

func (s *Server) timetableShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, t := &Form{}, rb.Timetable()
	f.setTimetable(t)
	f.Set("rev", strconv.Itoa(t.Rev))
	return s.timetableForm(w, r, http.StatusOK, rb, f)
}

func (s *Server) timetableForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, f *Form) error {
	frame, err := s.planFrame(r, "Who and when", rb)
	if err != nil {
		return err
	}
	t := rb.Timetable()
	return s.show(w, status, "plan_timetable", timetablePage{frame, t, f, periodOptions(), t.CostPerDay()})
}

func periodOptions() []Option {
	var options []Option
	for _, p := range rebuild.Periods {
		options = append(options, Option{string(p), "a " + string(p)})
	}
	return options
}

// timetableEdit keeps what holds for the whole plan. The form names the revision
// and the number that it was opened with: there may have been none.
func (s *Server) timetableEdit(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	t := rb.Timetable()
	t.ID, t.Rev = f.whole("timetable", "the timetable"), f.rev()
	f.readTimetable(&t, rb)
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.SetTimetable(t) },
			func(store.Record) string { return r.URL.Path })
		if !f.take(err) {
			return err
		}
	}
	return s.timetableForm(w, r, http.StatusUnprocessableEntity, rb, f)
}

func (f *Form) setTimetable(t rebuild.Timetable) {
	f.Set("timetable", strconv.FormatInt(t.ID, 10))
	f.setSpans("closed", t.Closed)
	if t.QuietFrom != t.QuietTo {
		f.Set("quiet_from", clockField(t.QuietFrom))
		f.Set("quiet_to", clockField(t.QuietTo))
	}
	for i, c := range t.Costs {
		f.setAt("cost_name", i+1, c.Name)
		f.setAt("cost_amount", i+1, c.Amount.Number())
		f.setAt("cost_per", i+1, string(c.Per))
	}
	f.Set("note", t.Note)
}

func (f *Form) readTimetable(t *rebuild.Timetable, rb *rebuild.Rebuild) {
	t.Closed = f.spans("closed")
	t.QuietFrom, t.QuietTo = 0, 0
	if f.filled("quiet_from", "quiet_to") {
		from, okFrom := minuteOf(f.Value("quiet_from"))
		to, okTo := minuteOf(f.Value("quiet_to"))
		if !okFrom || !okTo || from == to {
			f.problem("quiet_from", "the quiet hours: say from when and until when, like 20:00 and 7:00")
		}
		t.QuietFrom, t.QuietTo = from, to
	}
	t.Costs, t.Note = nil, f.Value("note")
	for row := 1; row <= f.closeCosts(); row++ {
		name := rowOf(row, "costs")[0] + ".amount"
		sum := amount.Amount{}
		if text := f.at("cost_amount", row); text != "" {
			f.Set(name, text) // read under the name that a problem is told by
			sum = f.money(name, "what it costs", rb.Car.Currency)
			delete(f.Values, name)
		}
		t.Costs = append(t.Costs, rebuild.RunningCost{Name: f.at("cost_name", row), Amount: sum, Per: rebuild.Period(f.at("cost_per", row))})
	}
}

// closeCosts moves the rows of costs together. A row in which only the period
// stands is empty: a list always has one chosen.
func (f *Form) closeCosts() int {
	for row := 1; row <= mostRows; row++ {
		if !f.filled(rowOf(row, "cost_name", "cost_amount")...) {
			delete(f.Values, rowOf(row, "cost_per")[0])
		}
	}
	return f.closeRows("cost_name", "cost_amount", "cost_per")
}
