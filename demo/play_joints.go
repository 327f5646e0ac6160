package demo

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"wreckwright/rebuild"
)

// fastening is the page of the joints of a rebuild and the tools that tighten them.
type fastening struct {
	Tools  []toolPage  `yaml:"tools"`
	Joints []jointPage `yaml:"joints"`
}

type toolPage struct {
	Deed        `yaml:",inline"`
	Key         string  `yaml:"key"`
	Title       string  `yaml:"title"`
	Class       string  `yaml:"class"`
	Low         float64 `yaml:"low"` // N·m
	High        float64 `yaml:"high"`
	Calibrated  int     `yaml:"calibrated"` // the day
	Certificate string  `yaml:"certificate"`
}

type jointPage struct {
	Deed           `yaml:",inline"`
	Key            string          `yaml:"key"`
	Title          string          `yaml:"title"`
	Zone           string          `yaml:"zone"`
	Safety         string          `yaml:"safety"`
	Thread         string          `yaml:"thread"`
	Count          int             `yaml:"count"`
	Torque         float64         `yaml:"torque"` // N·m
	Tolerance      float64         `yaml:"tolerance"`
	Angle          float64         `yaml:"angle"` // degrees
	AngleTolerance float64         `yaml:"angle_tolerance"`
	Passes         []float64       `yaml:"passes"`
	Source         string          `yaml:"source"`
	Where          string          `yaml:"where"`
	Lubricant      string          `yaml:"lubricant"`
	Locking        string          `yaml:"locking"`
	OneTime        bool            `yaml:"one_time"`
	Retorque       float64         `yaml:"retorque"` // km
	Jobs           []string        `yaml:"jobs"`
	Note           string          `yaml:"note"`
	Tightened      []tightenedPage `yaml:"tightened"`
	Undone         []undonePage    `yaml:"undone"`
}

type tightenedPage struct {
	Deed    `yaml:",inline"`
	Tool    string   `yaml:"tool"`
	Torque  float64  `yaml:"torque"` // 0: as specified
	Angle   float64  `yaml:"angle"`
	Passes  int      `yaml:"passes"` // 0: one
	Renewed bool     `yaml:"renewed"`
	Locked  bool     `yaml:"locked"`
	Km      *float64 `yaml:"km"`
	Checked *Deed    `yaml:"checked"`
	Note    string   `yaml:"note"`
}

type undonePage struct {
	Deed `yaml:",inline"`
	Why  string `yaml:"why"`
}

func (p *player) jointEvents() []event {
	var all []event
	for _, t := range p.story.Fastening.Tools {
		all = append(all, event{t.Deed, orderTool, "tool " + t.Key, func(ctx context.Context, who by) error { return p.addTool(ctx, who, t) }})
	}
	for _, j := range p.story.Fastening.Joints {
		what := "joint " + j.Key
		all = append(all, event{j.Deed, orderJoint, what, func(ctx context.Context, who by) error { return p.addJoint(ctx, who, j) }})
		for _, t := range j.Tightened {
			all = append(all, event{t.Deed, orderTightened, what, func(ctx context.Context, who by) error { return p.tighten(ctx, who, j, t) }})
			if t.Checked != nil {
				all = append(all, event{*t.Checked, orderChecked, what, func(ctx context.Context, who by) error { return p.checkJoint(ctx, who, j.Key) }})
			}
		}
		for _, u := range j.Undone {
			all = append(all, event{u.Deed, orderTightened, what, func(ctx context.Context, who by) error { return p.undoJoint(ctx, who, j.Key, u.Why) }})
		}
	}
	return all
}

func (p *player) addTool(ctx context.Context, who by, t toolPage) (err error) {
	tool := rebuild.Tool{
		Title: t.Title, Class: t.Class, LowNm: t.Low, HighNm: t.High,
		CalibratedOn: p.clock.date(t.Calibrated), Certificate: t.Certificate,
	}
	p.tools[t.Key], err = p.add(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddTool(tool) })
	return err
}

func (p *player) addJoint(ctx context.Context, who by, j jointPage) (err error) {
	joint := rebuild.Joint{
		Title: j.Title, Zone: j.Zone, Safety: rebuild.SafetyClass(cmp.Or(j.Safety, string(rebuild.SafetyNone))), Thread: j.Thread, Count: j.Count,
		TorqueNm: j.Torque, ToleranceNm: j.Tolerance, AngleDeg: j.Angle, AngleToleranceDeg: j.AngleTolerance, Passes: j.Passes,
		Source: rebuild.JointSource(j.Source), SourceWhere: j.Where, Lubricant: j.Lubricant,
		Locking: rebuild.Locking(cmp.Or(j.Locking, string(rebuild.LockNone))), OneTime: j.OneTime, RetorqueAfterKm: j.Retorque, Note: j.Note,
	}
	for _, key := range j.Jobs {
		joint.Jobs = append(joint.Jobs, p.jobs[key])
	}
	p.joints[j.Key], err = p.add(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddJoint(joint) })
	return err
}

// moment is the time of the story, as the book keeps it.
func (p *player) moment() string { return p.clock.at.Round(time.Second).Format(time.RFC3339) }

func (p *player) tighten(ctx context.Context, who by, j jointPage, t tightenedPage) error {
	done := rebuild.Tightening{
		At: p.moment(), Who: who, Tool: p.tools[t.Tool], TorqueNm: cmp.Or(t.Torque, j.Torque), AngleDeg: t.Angle,
		Passes: cmp.Or(t.Passes, 1), Renewed: t.Renewed, Locked: t.Locked, AtKm: t.Km, Note: t.Note,
	}
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.Tighten(p.joints[j.Key], r.Joint(p.joints[j.Key]).Rev, done)
	})
	return err
}

// checkJoint enters that somebody else checked what was tightened last.
func (p *player) checkJoint(ctx context.Context, who by, key string) error {
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		j := *r.Joint(p.joints[key])
		j.Tightenings = slices.Clone(j.Tightenings)
		last := &j.Tightenings[len(j.Tightenings)-1]
		last.SecondBy, last.SecondAt = who, p.moment()
		c, err := r.EditJoint(j)
		c.What = fmt.Sprintf("noted that %s checked the joint %q", who, j.Title)
		return c, err
	})
	return err
}

func (p *player) undoJoint(ctx context.Context, who by, key, why string) error {
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.UndoJoint(p.joints[key], r.Joint(p.joints[key]).Rev, rebuild.Undoing{At: p.moment(), Why: why})
	})
	return err
}

// checkJoints holds the joints against what they name.
func (s story) checkJoints(say complain, jobs map[string]int) {
	tools, joints := map[string]int{}, map[string]int{}
	for _, t := range s.Fastening.Tools {
		named(say, tools, "tool", t.Key, t.Day)
	}
	for _, j := range s.Fastening.Joints {
		named(say, joints, "joint", j.Key, j.Day)
		for _, key := range j.Jobs {
			day, known := jobs[key]
			if !known {
				say("joint %s names the job %q, which is not there", j.Key, key)
			}
			orderly(say, "joint "+j.Key, j.Day, day)
		}
		for _, t := range j.Tightened {
			orderly(say, "a tightening of joint "+j.Key, t.Day, j.Day)
			day, known := tools[t.Tool]
			if !known {
				say("joint %s is tightened with the tool %q, which is not there", j.Key, t.Tool)
			}
			orderly(say, "the tool of joint "+j.Key, t.Day, day)
			if t.Checked != nil {
				orderly(say, "the check of joint "+j.Key, t.Checked.Day, t.Day)
			}
		}
	}
}
