package demo

import (
	"context"
	"fmt"
	"strings"
	"time"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// checkPage is one quantity measured against one of its limits.
type checkPage struct {
	Deed     `yaml:",inline"`
	Quantity string    `yaml:"quantity"`
	Which    string    `yaml:"which"`
	Job      string    `yaml:"job"`
	Phase    string    `yaml:"phase"`
	Variant  string    `yaml:"variant"` // of the limit
	Readings []float64 `yaml:"readings"`
	Note     string    `yaml:"note"`
}

func (p *player) checkEvents() []event {
	var all []event
	for _, c := range p.story.Checks {
		all = append(all, event{c.Deed, orderTimed, "check " + c.Quantity, func(ctx context.Context, who by) error { return p.measure(ctx, who, c) }})
	}
	return all
}

// measure does what the page of the quantity does: readings in, the engine's own
// verdict out, kept with the readings as a file.
func (p *player) measure(ctx context.Context, who by, c checkPage) error {
	r, err := p.book.Load(ctx, p.id)
	if err != nil {
		return err
	}
	s, err := c.settings(r.Car)
	if err != nil {
		return err
	}
	text := workshop.WriteReadings([]workshop.CheckRow{{Values: c.Readings}})
	said, err := workshop.ExamineCheck(text, s)
	if err != nil {
		return err
	}
	e := said.Evidence()
	if e.Raw, err = p.readings(ctx, text); err != nil {
		return err
	}
	e.On, e.At = p.clock.at.Format(time.DateOnly), p.moment()
	e.JobID, e.Phase, e.Note = p.jobs[c.Job], rebuild.Phase(c.Phase), c.Note
	_, err = p.add(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEvidence(e) })
	return err
}

func (p *player) readings(ctx context.Context, text string) ([]rebuild.Attachment, error) {
	file, err := p.book.PutFile(ctx, strings.NewReader(text), workshop.ReadingsName, "text/plain", 0)
	return []rebuild.Attachment{file}, err
}

// settings are the limit of that variant and the common instrument.
func (c checkPage) settings(car rebuild.Car) (workshop.CheckSettings, error) {
	ask, ok := workshop.AskCheck(c.Quantity, "", car, "")
	if !ok {
		return workshop.CheckSettings{}, fmt.Errorf("there is no quantity %q", c.Quantity)
	}
	s := workshop.CheckSettings{Quantity: ask.Key, Name: ask.Name, Which: c.Which, Unit: ask.Unit, Form: ask.Form, InstrumentLimit: &ask.InstrumentLimit}
	for _, l := range ask.Here {
		if l.Variant == c.Variant {
			return s, l.Put(&s)
		}
	}
	return s, fmt.Errorf("the quantity %q has no limit %q", c.Quantity, c.Variant)
}

// checkChecks holds the measurements against the jobs that they name.
func (s story) checkChecks(say complain, jobs map[string]int) {
	for _, c := range s.Checks {
		if c.Job == "" {
			continue
		}
		day, known := jobs[c.Job]
		if !known {
			say("the check %s names the job %q, which is not there", c.Quantity, c.Job)
		}
		orderly(say, "the check "+c.Quantity, c.Day, day)
	}
}
