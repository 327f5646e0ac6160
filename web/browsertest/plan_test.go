package browsertest

import (
	"fmt"
	"net/http"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// Every page of the section Plan in its states is held against the accessibility
// rules.
func TestPlanIsAccessible(t *testing.T) {
	source := needAxe(t)
	s := serve(t)
	car, empty := fill(t, s), startEmpty(t, s)
	job := car.work(rebuild.Job{Title: "Renew the lower arm", Safety: rebuild.SafetySteering, Needed: 1, State: rebuild.JobOpen})
	car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddPerson(rebuild.Person{Name: "Kim", Hours: []rebuild.WorkHours{{Weekday: 6, From: 540, To: 960}}, Away: []rebuild.DaySpan{{From: "2026-07-01", To: "2026-07-14", Why: "the lake"}}})
	})
	car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddMilestone(rebuild.Milestone{Gate: rebuild.GateRoadTest, WishedOn: "2026-09-01"})
	})
	delivery := car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddDelivery(rebuild.Delivery{
			JobID: job, What: "Lower arm with-a-very-long-word-0000000000000000000000000000000000000000", OrderedOn: "2026-05-01",
			LeadDays: uncertain.Range{Low: 3, Likely: 7, High: 20}, Faster: &rebuild.Faster{Days: 3, Cost: r.Amount(4500)},
		})
	})
	lookAtAll(t, s, source, []visit{
		{name: "plan", path: car.path("/plan"), status: http.StatusOK},
		{name: "plan of an empty book", path: empty.path("/plan"), status: http.StatusOK, brief: true},
		{name: "today", path: car.path("/plan/today"), status: http.StatusOK},
		{name: "waiting", path: car.path("/plan/waiting"), status: http.StatusOK},
		{name: "a delivery", path: car.path(fmt.Sprintf("/plan/waiting/%d", delivery)), status: http.StatusOK, brief: true},
		{name: "what if", path: car.path(fmt.Sprintf("/plan/what-if?drop=%d", job)), status: http.StatusOK, brief: true},
		{name: "who and when", path: car.path("/plan/set-up"), status: http.StatusOK, brief: true},
		{name: "people", path: car.path("/plan/people"), status: http.StatusOK},
		{name: "people, refused", path: car.path("/plan/people"), status: http.StatusUnprocessableEntity, brief: true, before: func(b *tab) {
			b.write("#name", "Robin")
			b.press("main form[data-draft] .actions button")
			b.holds("#problems", "say when")
		}},
		{name: "things", path: empty.path("/plan/things"), status: http.StatusOK, brief: true},
		{name: "milestones", path: car.path("/plan/milestones"), status: http.StatusOK, brief: true},
		{name: "a job's plan", path: car.path(fmt.Sprintf("/jobs/%d/plan", job)), status: http.StatusOK, brief: true},
	})
}
