package rebuild

import "fmt"

// AddDelivery enters something that is to come; its number and revision are given
// here.
func (r *Rebuild) AddDelivery(d Delivery) (Change, error) {
	d.ID, d.Rev = r.nextID(), 0
	what := fmt.Sprintf("entered that %q is needed", short(d.What))
	if d.OrderedOn != "" {
		what = fmt.Sprintf("entered that %q was ordered on %s", short(d.What), d.OrderedOn)
	}
	return adding(d, r.checkDelivery, what)
}

// EditDelivery replaces a delivery. d.Rev is the revision the form was opened with.
func (r *Rebuild) EditDelivery(d Delivery) (Change, error) {
	return editing(lookup(r.Deliveries, d.ID), d, r.checkDelivery, fmt.Sprintf("changed the delivery %q", short(d.What)))
}

// DeleteDelivery takes a delivery out.
func (r *Rebuild) DeleteDelivery(id int64, rev int) (Change, error) {
	return removing(r.Deliveries, id, rev, KindDelivery, "took out the delivery")
}

// Arrive keeps that a delivery came on that day. A job that waits, and waits for
// nothing else that is to come, is open again. It is no matter what was changed
// meanwhile, for what has come has come; refused where it came before.
func (r *Rebuild) Arrive(id int64, on string) (Change, error) {
	old := r.Delivery(id)
	if old == nil {
		return Change{}, &Missing{KindDelivery, id}
	}
	if old.Arrived() {
		return Change{}, &Invalid{[]Problem{{"arrived_on", fmt.Sprintf("%q came on %s already", short(old.What), old.ArrivedOn)}}}
	}
	d := *old
	d.ArrivedOn = on
	if on == "" {
		return Change{}, &Invalid{[]Problem{{"arrived_on", "say on which day it came"}}}
	}
	if err := r.checkDelivery(d); err != nil {
		return Change{}, err
	}
	c := changed(fmt.Sprintf("entered that %q came on %s", short(d.What), on), *old, d)
	if j := r.Job(d.JobID); j != nil && j.State == JobWaiting && !r.waitsBesides(j.ID, id) {
		open := *j
		open.State, open.WaitingFor = JobOpen, ""
		open.Rev++
		c.edit(*j, open)
		c.What += fmt.Sprintf("; the job %q waits no more", short(j.Title))
	}
	return c, nil
}

// waitsBesides reports that something else for the job is still to come.
func (r *Rebuild) waitsBesides(job, delivery int64) bool {
	for _, d := range r.DeliveriesOf(job) {
		if d.ID != delivery && !d.Arrived() {
			return true
		}
	}
	return false
}

func (r *Rebuild) checkDelivery(d Delivery) error {
	if err := d.Validate(r.Car.Currency); err != nil {
		return err
	}
	return r.jobThere(d.JobID, "job")
}
