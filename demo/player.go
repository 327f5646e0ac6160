package demo

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"slices"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/uncertain"
)

// player plays one story into a book.
type player struct {
	book  *store.Book
	clock *clock
	story story
	id    int64 // of the rebuild

	findings, jobs, entries, cases, tools, joints, strip map[string]int64 // numbers by key
	// measured are the numbers of the timings by [timing.key].
	measured map[string]int64
}

// event is one thing that happens in a story.
type event struct {
	Deed
	order int // within a day
	what  string
	do    func(context.Context, by) error
}

// by is a person's name.
type by = string

// The order within a day.
const (
	orderWeigh = iota // the appraisal, looks round it, the purchase
	orderFrame        // zones, stages
	orderFinding
	orderJob
	orderCase
	orderTool
	orderJoint
	orderChoice
	orderCost
	orderTimed
	orderTried
	orderTightened
	orderChecked
	orderOff
	orderTicked
	orderBack
	orderPlan
	orderMove
	orderPassed
	orderDrive
	orderTested
	orderSlip
	orderMark
)

// play starts the rebuild and plays all its events in the order of time.
func (p *player) play(ctx context.Context) error {
	p.findings, p.jobs, p.entries = map[string]int64{}, map[string]int64{}, map[string]int64{}
	p.cases, p.measured = map[string]int64{}, map[string]int64{}
	p.tools, p.joints, p.strip = map[string]int64{}, map[string]int64{}, map[string]int64{}
	car, err := p.car()
	if err != nil {
		return err
	}
	p.clock.turn(max(p.story.Car.Begun, p.story.Car.Bought))
	r, err := p.book.Start(ctx, store.By{Who: p.story.Car.Owner}, car)
	if err != nil {
		return err
	}
	p.id = r.ID
	for _, e := range p.events() {
		p.clock.turn(e.Day)
		if err := e.do(ctx, cmp.Or(e.By, p.story.Car.Owner)); err != nil {
			return fmt.Errorf("%s, day %d, %s: %w", p.story.Car.Name, e.Day, e.what, err)
		}
	}
	return nil
}

func (p *player) events() []event {
	all := slices.Concat(p.weighingEvents(), p.frameEvents(), p.findingEvents(), p.jobEvents(), p.planEvents(), p.caseEvents(), p.jointEvents(), p.stripEvents(), p.checkEvents(), p.anglesEvents(), p.noiseEvents(), p.surveyEvents(), p.provingEvents(), p.roadEvents(), p.costEvents(), p.slipEvents(), p.markEvents())
	slices.SortStableFunc(all, func(a, b event) int {
		return cmp.Or(cmp.Compare(b.Day, a.Day), cmp.Compare(a.order, b.order))
	})
	return all
}

// change makes one change to the rebuild.
func (p *player) change(ctx context.Context, who by, f func(*rebuild.Rebuild) (rebuild.Change, error)) (store.Record, error) {
	_, record, err := p.book.Do(ctx, store.By{Who: who}, p.id, f)
	return record, err
}

// add makes a change that adds something and gives its number.
func (p *player) add(ctx context.Context, who by, f func(*rebuild.Rebuild) (rebuild.Change, error)) (int64, error) {
	record, err := p.change(ctx, who, f)
	if err != nil {
		return 0, err
	}
	added := rebuild.Change{Edits: record.Edits}.Added()
	if added == nil {
		return 0, fmt.Errorf("nothing was added")
	}
	return added.ItemID(), nil
}

// draw puts drawings into the book, to be hung on something.
func (p *player) draw(ctx context.Context, pictures []picture) ([]rebuild.Attachment, error) {
	var hung []rebuild.Attachment
	for _, picture := range pictures {
		drawing, err := drawingOf(picture)
		if err != nil {
			return nil, err
		}
		a, err := p.book.PutFile(ctx, bytes.NewReader(drawing), picture.Draw+".png", "image/png", 0)
		if err != nil {
			return nil, err
		}
		a.Caption = "Drawing: " + picture.Caption
		hung = append(hung, a)
	}
	return hung, nil
}

func rangeOf(points [3]float64) uncertain.Range {
	return uncertain.Range{Low: points[0], Likely: points[1], High: points[2]}
}
