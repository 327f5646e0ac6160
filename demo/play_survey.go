package demo

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// surveyPage is a body measured by tape: five lines, or lists of points, distances
// and heights as the command reads them.
type surveyPage struct {
	Deed      `yaml:",inline"`
	Title     string               `yaml:"title"`
	Job       string               `yaml:"job"`
	Phase     string               `yaml:"phase"`
	Note      string               `yaml:"note"`
	From      string               `yaml:"from"` // source of the nominal places
	Lines     map[string][]float64 `yaml:"lines"`
	Points    string               `yaml:"points"`
	Distances string               `yaml:"distances"`
	Heights   string               `yaml:"heights"`
}

func (p *player) surveyEvents() []event {
	var all []event
	for _, s := range p.story.Surveys {
		all = append(all, event{s.Deed, orderTimed, "survey " + s.Title, func(ctx context.Context, who by) error { return p.survey(ctx, who, s) }})
	}
	return all
}

// survey does what the pages of a survey do: readings in, the engine's own verdict
// out, kept with the readings as a file.
func (p *player) survey(ctx context.Context, who by, s surveyPage) error {
	b, err := s.read()
	if err != nil {
		return err
	}
	said, err := b.Examine()
	if err != nil {
		return err
	}
	e := said.Evidence()
	file, err := p.book.PutFile(ctx, strings.NewReader(b.JSON()), workshop.SurveyName, "text/plain", 0)
	if err != nil {
		return err
	}
	e.Raw = []rebuild.Attachment{file}
	e.On, e.At = p.clock.at.Format(time.DateOnly), p.moment()
	e.Title, e.JobID, e.Phase, e.Note = s.Title, p.jobs[s.Job], rebuild.Phase(s.Phase), s.Note
	_, err = p.add(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEvidence(e) })
	return err
}

// read is the survey as its pages would hold it.
func (s surveyPage) read() (workshop.BodySurvey, error) {
	if len(s.Lines) == 0 {
		b, err := workshop.NewBodySurvey("whole").ImportSurvey(workshop.SurveyFiles{Nominal: s.Points, Distances: s.Distances, Heights: s.Heights})
		b.NominalFrom = s.From
		return b, err
	}
	b := workshop.NewQuickSurvey()
	for _, line := range slices.Sorted(maps.Keys(s.Lines)) {
		for _, mm := range s.Lines[line] {
			if _, err := b.Add(workshop.TapeReading{TapeLine: workshop.TapeLine{Kind: workshop.ReadDistance, From: line}, Mm: mm}); err != nil {
				return b, fmt.Errorf("line %s: %w", line, err)
			}
		}
	}
	return b, nil
}

// checkSurveys holds the surveys against the jobs that they name.
func (s story) checkSurveys(say complain, jobs map[string]int) {
	for _, v := range s.Surveys {
		if v.Job == "" {
			continue
		}
		day, known := jobs[v.Job]
		if !known {
			say("the survey %s names the job %q, which is not there", v.Title, v.Job)
		}
		orderly(say, "the survey "+v.Title, v.Day, day)
	}
}
