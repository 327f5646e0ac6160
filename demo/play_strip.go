package demo

import (
	"context"
	"fmt"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// offPage is a thing that came off.
type offPage struct {
	Deed       `yaml:",inline"`
	Key        string          `yaml:"key"`
	What       string          `yaml:"what"`
	Zone       string          `yaml:"zone"`
	Fasteners  []fastenersPage `yaml:"fasteners"`
	Connectors []string        `yaml:"connectors"`
	Photos     []picture       `yaml:"photos"`
	Marks      []markPage      `yaml:"marks"` // on the first photo
	Condition  string          `yaml:"condition"`
	After      []string        `yaml:"after"`
	Jobs       []string        `yaml:"jobs"`
	Joints     []string        `yaml:"joints"`
	Note       string          `yaml:"note"`
	More       int             `yaml:"more"`    // so many more of the same
	Settled    *int            `yaml:"settled"` // the day what goes back was there
	Back       *Deed           `yaml:"back"`
}

type fastenersPage struct {
	Count   int    `yaml:"count"`
	Thread  string `yaml:"thread"`
	Tool    string `yaml:"tool"`
	OneTime bool   `yaml:"one_time"`
	ToBuy   string `yaml:"to_buy"`
	Ordered *int   `yaml:"ordered"` // the day
	Arrived *int   `yaml:"arrived"`
}

// markPage is a number on a photo: how far across and down, in percent.
type markPage struct {
	At   [2]float64 `yaml:"at"`
	Text string     `yaml:"text"`
}

func (p *player) stripEvents() []event {
	var all []event
	for _, o := range p.story.Strip {
		what := "strip " + o.Key
		all = append(all, event{o.Deed, orderOff, what, func(ctx context.Context, who by) error { return p.takeOff(ctx, who, o) }})
		for i, f := range o.Fasteners {
			all = append(all, p.tickEvents(o, workshop.TickOrdered, i, f.Ordered)...)
			all = append(all, p.tickEvents(o, workshop.TickArrived, i, f.Arrived)...)
		}
		all = append(all, p.tickEvents(o, workshop.TickSettled, 0, o.Settled)...)
		if o.Back != nil {
			all = append(all, event{*o.Back, orderBack, what, func(ctx context.Context, who by) error { return p.putBack(ctx, who, o.Key) }})
		}
	}
	return all
}

// tickEvents is what was ticked of a thing on that day; nil: never.
func (p *player) tickEvents(o offPage, tick string, place int, day *int) []event {
	if day == nil {
		return nil
	}
	return []event{{Deed{Day: *day}, orderTicked, "strip " + o.Key, func(ctx context.Context, who by) error {
		_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
			id := p.strip[o.Key]
			return workshop.Ticked(r, id, r.StripItem(id).Rev, workshop.Tick{What: tick, At: place}, false, p.moment())
		})
		return err
	}}}
}

func (p *player) takeOff(ctx context.Context, who by, o offPage) error {
	photos, err := p.draw(ctx, o.Photos)
	if err != nil {
		return err
	}
	s := rebuild.StripItem{
		At: p.moment(), What: o.What, Zone: o.Zone, Photos: photos, Condition: rebuild.Condition(o.Condition), Note: o.Note,
		After: numbersOf(p.strip, o.After), Jobs: numbersOf(p.jobs, o.Jobs), Joints: numbersOf(p.joints, o.Joints),
	}
	for _, f := range o.Fasteners {
		s.Fasteners = append(s.Fasteners, rebuild.FastenerSet{Count: f.Count, Thread: f.Thread, Tool: f.Tool, OneTime: f.OneTime, ToBuy: f.ToBuy})
	}
	for _, name := range o.Connectors {
		s.Connectors = append(s.Connectors, rebuild.Connector{Name: name})
	}
	for i, m := range o.Marks {
		s.Marks = append(s.Marks, rebuild.PhotoMark{Number: i + 1, X: m.At[0] / 100, Y: m.At[1] / 100, Text: m.Text})
	}
	p.strip[o.Key], err = p.add(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) { return workshop.TakeOff(r, s, false) })
	if err != nil || o.More == 0 {
		return err
	}
	_, err = p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.MoreLike(p.strip[o.Key], o.More, p.moment())
	})
	return err
}

// putBack puts a thing back with all that belongs to it.
func (p *player) putBack(ctx context.Context, who by, key string) error {
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		s := r.StripItem(p.strip[key])
		back := workshop.Back{At: p.moment(), By: who}
		for i := range s.Fasteners {
			back.Emptied = append(back.Emptied, i)
		}
		for i := range s.Connectors {
			back.Made = append(back.Made, i)
		}
		return workshop.PutBack(r, s.ID, s.Rev, back)
	})
	return err
}

func numbersOf(known map[string]int64, keys []string) []int64 {
	var ids []int64
	for _, key := range keys {
		ids = append(ids, known[key])
	}
	return ids
}

// checkStrip holds what came off against what it names.
func (s story) checkStrip(say complain, jobs map[string]int) {
	off, joints := map[string]int{}, map[string]int{}
	for _, j := range s.Fastening.Joints {
		joints[j.Key] = j.Day
	}
	for _, o := range s.Strip {
		named(say, off, "strip", o.Key, o.Day)
		for what, names := range map[string][]string{"thing": o.After, "job": o.Jobs, "joint": o.Joints} {
			known := map[string]map[string]int{"thing": off, "job": jobs, "joint": joints}[what]
			for _, key := range names {
				day, there := known[key]
				if !there {
					say("strip %s names the %s %q, which is not there", o.Key, what, key)
				}
				orderly(say, "strip "+o.Key, o.Day, day)
			}
		}
		for _, day := range o.laterDays() {
			orderly(say, fmt.Sprintf("what follows on strip %s", o.Key), day, o.Day)
		}
	}
}

// laterDays are the days on which something was done with it after it came off.
func (o offPage) laterDays() []int {
	var days []int
	if o.Back != nil {
		days = append(days, o.Back.Day)
	}
	all := []*int{o.Settled}
	for _, f := range o.Fasteners {
		all = append(all, f.Ordered, f.Arrived)
	}
	for _, day := range all {
		if day != nil {
			days = append(days, *day)
		}
	}
	return days
}
