package demo

import (
	"context"
	"strings"
	"time"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// anglesPage is where the wheels point, as they were read one day.
type anglesPage struct {
	Deed     `yaml:",inline"`
	Title    string `yaml:"title"`
	Job      string `yaml:"job"`
	Phase    string `yaml:"phase"`
	Show     string `yaml:"show"`
	Readings string `yaml:"readings"` // the case file
	Note     string `yaml:"note"`
}

func (p *player) anglesEvents() []event {
	var all []event
	for _, a := range p.story.Angles {
		all = append(all, event{a.Deed, orderTimed, "wheel angles " + a.Title, func(ctx context.Context, who by) error { return p.readAngles(ctx, who, a) }})
	}
	return all
}

// readAngles does what the page of wheel angles does: readings in, the engine's own
// verdict out, kept with the readings as a file.
func (p *player) readAngles(ctx context.Context, who by, a anglesPage) error {
	said, err := workshop.ExamineAngles(a.Readings, workshop.AnglesSettings{Show: a.Show})
	if err != nil {
		return err
	}
	e := said.Evidence()
	file, err := p.book.PutFile(ctx, strings.NewReader(a.Readings), workshop.AnglesName, "text/plain", 0)
	if err != nil {
		return err
	}
	e.Raw = []rebuild.Attachment{file}
	e.On, e.At = p.clock.at.Format(time.DateOnly), p.moment()
	e.Title, e.JobID, e.Phase, e.Note = a.Title, p.jobs[a.Job], rebuild.Phase(a.Phase), a.Note
	_, err = p.add(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEvidence(e) })
	return err
}

// checkAngles holds the measurements against the jobs that they name.
func (s story) checkAngles(say complain, jobs map[string]int) {
	for _, a := range s.Angles {
		if a.Job == "" {
			continue
		}
		day, known := jobs[a.Job]
		if !known {
			say("the wheel angles %s name the job %q, which is not there", a.Title, a.Job)
		}
		orderly(say, "the wheel angles "+a.Title, a.Day, day)
	}
}
