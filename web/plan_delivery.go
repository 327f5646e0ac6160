package web

import (
	"net/http"
	"strconv"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// planDeliveries are what jobs wait for from outside: parts, hired tools, answers.
var planDeliveries = planItems[rebuild.Delivery]{
	kind: rebuild.KindDelivery, name: "delivery", path: "/plan/waiting",
	find: (*rebuild.Rebuild).Delivery, fill: (*Form).setDelivery, read: (*Form).readDelivery,
	add: (*rebuild.Rebuild).AddDelivery, edit: (*rebuild.Rebuild).EditDelivery, remove: (*rebuild.Rebuild).DeleteDelivery,
	show: (*Server).waitingShow,
}

// waitingPage is what is on its way with what each blocks, and the form of a new
// delivery; or one of them.
type waitingPage struct {
	planItemPage[rebuild.Delivery]
	Waits     []workshop.Wait
	Arrived   []*rebuild.Delivery // the latest first
	Jobs      []Option
	Suppliers []string
	Why       string // why no dates can be told; empty: they can
}

// shownArrived is how many that have come are listed.
const shownArrived = 20

func (s *Server) waitingShow(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, d *rebuild.Delivery, f *Form) error {
	title := "Waiting for"
	if d != nil {
		title = d.What
	}
	frame, err := s.planFrame(r, title, rb)
	if err != nil {
		return err
	}
	page := waitingPage{
		planItemPage: planItemPage[rebuild.Delivery]{frame, d, f},
		Jobs:         jobOptions(rb, "No job", 0), Suppliers: suppliersOf(rb),
	}
	if d == nil {
		if page.Waits, err = s.workshop.Waiting(r.Context(), rb); err != nil {
			return err
		}
		page.Arrived = arrived(rb)
	}
	return s.show(w, status, "plan_waiting", page)
}

// arrived lists what came last.
func arrived(rb *rebuild.Rebuild) []*rebuild.Delivery {
	var list []*rebuild.Delivery
	for i := range rb.Deliveries {
		if rb.Deliveries[i].Arrived() {
			list = append(list, &rb.Deliveries[i])
		}
	}
	byDayDown(list, func(d *rebuild.Delivery) string { return d.ArrivedOn })
	return list[:min(len(list), shownArrived)]
}

func (f *Form) setDelivery(d rebuild.Delivery) {
	f.Set("what", d.What)
	f.Set("supplier", d.Supplier)
	if d.JobID != 0 {
		f.Set("job", strconv.FormatInt(d.JobID, 10))
	}
	f.Set("ordered_on", d.OrderedOn)
	f.Set("expected_on", d.ExpectedOn)
	f.Set("arrived_on", d.ArrivedOn)
	f.setRange("lead_days", d.LeadDays)
	if d.Faster != nil {
		f.setNumber("faster.days", float64(d.Faster.Days))
		f.setMoney("faster.cost", d.Faster.Cost)
	}
	f.setMoney("amount", d.Amount)
	f.Set("note", d.Note)
}

func (f *Form) readDelivery(d *rebuild.Delivery, rb *rebuild.Rebuild, today string) {
	d.Rev = f.rev()
	d.JobID = f.whole("job", "the job")
	d.What, d.Supplier, d.Note = f.Value("what"), f.Value("supplier"), f.Value("note")
	d.OrderedOn, d.ExpectedOn, d.ArrivedOn = f.Value("ordered_on"), f.Value("expected_on"), f.Value("arrived_on")
	d.LeadDays = f.numberRange("lead_days", "how many days it takes")
	d.Amount = f.money("amount", "its price", rb.Car.Currency)
	d.Faster = nil
	if f.filled("faster.days", "faster.cost") {
		d.Faster = &rebuild.Faster{
			Days: int(f.whole("faster.days", "the days it saves")),
			Cost: f.money("faster.cost", "what the quicker way costs", rb.Car.Currency),
		}
	}
	if had := rb.Delivery(d.ID); d.OrderedOn == "" && d.ArrivedOn == "" && (had == nil || had.ExpectedOn != d.ExpectedOn || had.OrderedOn != "") {
		f.notPast("expected_on", "the day the supplier names of what is not ordered yet", today)
	}
	f.notAhead("ordered_on", "the day it was ordered", today)
	f.notAhead("arrived_on", "the day it came", today)
}

// deliveryArrived keeps with one tap that something came today.
func (s *Server) deliveryArrived(w http.ResponseWriter, r *http.Request) error {
	id, err := pathNumber(r, "delivery")
	if err != nil {
		return err
	}
	if _, err := readForm(r); err != nil {
		return err
	}
	on := s.today()
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.Arrive(id, on) },
		func(store.Record) string { return backTo(r, "/r/"+r.PathValue("rebuild")+planDeliveries.path) })
}
