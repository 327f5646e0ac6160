package demo

import (
	"bytes"
	"context"
	"time"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// noisePage is a noise recorded one day; the recording is simulated.
type noisePage struct {
	Deed     `yaml:",inline"`
	Title    string     `yaml:"title"`
	File     string     `yaml:"file"`
	Job      string     `yaml:"job"`
	Phase    string     `yaml:"phase"`
	RPM      float64    `yaml:"rpm"`
	Corner   string     `yaml:"corner"`
	Elements int        `yaml:"elements"`
	Element  float64    `yaml:"element_mm"`
	Pitch    float64    `yaml:"pitch_mm"`
	Angle    float64    `yaml:"angle_deg"`
	Sound    wheelSound `yaml:"sound"`
	Note     string     `yaml:"note"`
}

func (p *player) noiseEvents() []event {
	var all []event
	for _, n := range p.story.Noises {
		all = append(all, event{n.Deed, orderTimed, "noise " + n.Title, func(ctx context.Context, who by) error { return p.recordNoise(ctx, who, n) }})
	}
	return all
}

// recordNoise does what the page of a noise does: recording in, the engine's own
// verdict out, kept with the recording as a file.
func (p *player) recordNoise(ctx context.Context, who by, n noisePage) error {
	sound := n.Sound.wav()
	said, err := workshop.ExamineNoise(ctx, bytes.NewReader(sound), nil, workshop.NoiseSettings{
		Speed: workshop.SpeedRPM, RPM: n.RPM, Corner: n.Corner, Elements: n.Elements, ElementMm: n.Element, PitchMm: n.Pitch, AngleDeg: n.Angle,
	})
	if err != nil {
		return err
	}
	e := said.Evidence()
	file, err := p.book.PutFile(ctx, bytes.NewReader(sound), n.File, "audio/wav", 0)
	if err != nil {
		return err
	}
	e.Raw = []rebuild.Attachment{file}
	e.On, e.At = p.clock.at.Format(time.DateOnly), p.moment()
	e.Title, e.JobID, e.Phase, e.Note = n.Title, p.jobs[n.Job], rebuild.Phase(n.Phase), n.Note
	_, err = p.add(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEvidence(e) })
	return err
}

// checkNoises holds the recordings against the jobs that they name.
func (s story) checkNoises(say complain, jobs map[string]int) {
	for _, n := range s.Noises {
		if n.Job == "" {
			continue
		}
		day, known := jobs[n.Job]
		if !known {
			say("the noise %s names the job %q, which is not there", n.Title, n.Job)
		}
		orderly(say, "the noise "+n.Title, n.Day, day)
	}
}
