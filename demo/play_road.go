package demo

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// road is the page of how a car came back to the road: gates passed, the first
// drives, official tests.
type road struct {
	Passed []passedPage   `yaml:"passed"`
	Drives []drivePage    `yaml:"drives"`
	Tested []officialPage `yaml:"tested"`
}

// passedPage is a gate that was passed; with a reason, against advice.
type passedPage struct {
	Deed   `yaml:",inline"`
	Gate   string `yaml:"gate"`
	Reason string `yaml:"reason"`
}

// drivePage is one run of the shakedown. Distances are in km.
type drivePage struct {
	Deed    `yaml:",inline"`
	Stage   string        `yaml:"stage"`
	Result  string        `yaml:"result"`
	Km      float64       `yaml:"km"`
	Minutes float64       `yaml:"minutes"`
	AtKm    *float64      `yaml:"at_km"`
	Felt    string        `yaml:"felt"`
	Heard   string        `yaml:"heard"`
	Smelt   string        `yaml:"smelt"`
	Note    string        `yaml:"note"`
	Found   []findingPage `yaml:"found"` // made in it
}

type officialPage struct {
	Deed   `yaml:",inline"`
	Where  string       `yaml:"where"`
	Result string       `yaml:"result"`
	Found  []testedPage `yaml:"found"`
	Note   string       `yaml:"note"`
}

type testedPage struct {
	Item  string `yaml:"item"`
	Found string `yaml:"found"`
	Text  string `yaml:"text"`
}

func (p *player) roadEvents() []event {
	var all []event
	for _, g := range p.story.Road.Passed {
		all = append(all, event{g.Deed, orderPassed, "gate " + g.Gate, func(ctx context.Context, who by) error { return p.passGate(ctx, who, g) }})
	}
	for _, d := range p.story.Road.Drives {
		all = append(all, event{d.Deed, orderDrive, "drive " + d.Stage, func(ctx context.Context, who by) error { return p.drive(ctx, who, d) }})
	}
	for _, o := range p.story.Road.Tested {
		all = append(all, event{o.Deed, orderTested, "official test", func(ctx context.Context, who by) error { return p.officialTest(ctx, who, o) }})
	}
	return all
}

// bench asks the workshop as if it were open on that day.
func (p *player) bench() *workshop.Workshop {
	return workshop.New(p.book, silent, func() string { return p.clock.date(p.clock.day) })
}

// passGate passes a gate as its page does: the rules decide. A story that gives no
// reason says that nothing stands against it, and that must be so.
func (p *player) passGate(ctx context.Context, who by, page passedPage) error {
	r, err := p.book.Load(ctx, p.id)
	if err != nil {
		return err
	}
	bench := p.bench()
	defer bench.Close()
	lines, err := bench.Gates(ctx, r)
	if err != nil {
		return err
	}
	which := rebuild.Gate(page.Gate)
	i := slices.IndexFunc(lines, func(l workshop.GateLine) bool { return l.Which == which })
	if i < 0 {
		return fmt.Errorf("there is no gate %q", page.Gate)
	}
	if n := len(lines[i].Against); n > 0 && page.Reason == "" {
		var told []string
		for _, a := range lines[i].Against {
			told = append(told, a.Text)
		}
		return fmt.Errorf("%d things stand against it: %s", n, strings.Join(told, "; "))
	}
	_, _, err = bench.PassGate(ctx, store.By{Who: who}, p.id, which, p.moment(), lines[i].Seal(), page.Reason)
	return err
}

func (p *player) drive(ctx context.Context, who by, page drivePage) error {
	run := rebuild.ShakedownRun{
		Stage: rebuild.ShakedownStage(page.Stage), At: p.moment(), By: who, Km: page.Km, Minutes: page.Minutes, AtKm: page.AtKm,
		Felt: page.Felt, Heard: page.Heard, Smelt: page.Smelt, Note: page.Note, Result: rebuild.RunResult(page.Result),
	}
	var found []rebuild.Finding
	for _, f := range page.Found {
		photos, err := p.draw(ctx, f.Photos)
		if err != nil {
			return err
		}
		found = append(found, rebuild.Finding{
			Zone: f.Zone, What: f.What, HowFound: rebuild.RoadTest, Severity: rebuild.Severity(f.Severity),
			Safety: f.Safety, On: p.clock.date(page.Day), Photos: photos,
		})
	}
	bench := p.bench()
	defer bench.Close()
	r, _, err := bench.AddRun(ctx, store.By{Who: who}, p.id, run, found...)
	if err != nil {
		return err
	}
	made := r.Shakedown[len(r.Shakedown)-1].Findings
	for i, f := range page.Found {
		p.findings[f.Key] = made[i]
	}
	return nil
}

func (p *player) officialTest(ctx context.Context, who by, page officialPage) error {
	t := rebuild.OfficialTest{On: p.clock.date(page.Day), Where: page.Where, Result: rebuild.TestResult(page.Result), Note: page.Note}
	var found []rebuild.TestedItem
	for _, f := range page.Found {
		found = append(found, rebuild.TestedItem{Key: f.Item, Found: rebuild.ItemResult(f.Found), Text: f.Text})
	}
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		filled, err := workshop.TestOf(r, t, found)
		if err != nil {
			return rebuild.Change{}, err
		}
		return r.AddOfficialTest(filled)
	})
	return err
}

// checkRoad finds items that there are none of, and keeps what was found in a
// drive apart from what else was found.
func (s story) checkRoad(say complain, findings map[string]int) {
	for _, d := range s.Road.Drives {
		for _, f := range d.Found {
			named(say, findings, "finding", f.Key, d.Day)
		}
	}
	for _, o := range s.Road.Tested {
		for _, f := range o.Found {
			if _, ok := knowledge.InspectionItemFor(f.Item); !ok {
				say("there is no inspection item %q", f.Item)
			}
		}
	}
}
