package demo

import (
	"context"
	"fmt"
	"slices"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// car is the car as it was entered when it was bought, or first weighed.
func (p *player) car() (rebuild.Car, error) {
	c := p.story.Car
	car := rebuild.Car{
		Name: c.Name, Maker: c.Maker, Model: c.Model, Year: p.clock.last.Year() - c.Age,
		VIN: c.VIN, Plate: c.Plate, Colour: c.Colour,
		Jurisdiction: c.Jurisdiction, Category: c.Category, DistanceUnit: c.DistanceUnit, Distance: c.Distance,
		Candidate: c.Begun > 0, Currency: c.Currency, HoursPerWeek: c.HoursPerWeek, Correlation: c.Correlation, Note: c.Note,
	}
	if !car.Candidate {
		car.BoughtOn = p.clock.date(c.Bought)
	}
	if c.Wanted != nil {
		car.WantedBy = p.clock.date(*c.Wanted)
	}
	if c.Ceiling == "" {
		return car, nil
	}
	var err error
	car.Ceiling, err = amount.Parse(c.Ceiling, c.Currency, '.')
	return car, err
}

// frameEvents are what happens to zones and stages.
func (p *player) frameEvents() []event {
	var all []event
	for _, z := range p.story.Car.Zones {
		all = append(all, event{z.Deed, orderFrame, "zone " + z.Zone, func(ctx context.Context, who by) error {
			return p.setZone(ctx, who, z.Zone, func(zone *rebuild.Zone) {
				zone.HiddenExpected, zone.HiddenCost, zone.Note = z.Expected, rangeOf(z.Cost), z.Note
			})
		}})
		for _, o := range z.Opened {
			all = append(all, event{Deed{o.Day, o.By}, orderFrame, "zone " + z.Zone, func(ctx context.Context, who by) error {
				return p.setZone(ctx, who, z.Zone, func(zone *rebuild.Zone) { zone.OpenShare = o.Share })
			}})
		}
	}
	for _, s := range p.story.Car.Stages {
		all = append(all, event{s.Deed, orderFrame, "stage " + s.Stage, func(ctx context.Context, who by) error { return p.setStage(ctx, who, s) }})
	}
	return all
}

func (p *player) setZone(ctx context.Context, who by, key string, set func(*rebuild.Zone)) error {
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		now := r.Zone(key)
		if now == nil {
			return rebuild.Change{}, fmt.Errorf("there is no zone %q", key)
		}
		zone := *now
		set(&zone)
		return r.EditZone(zone)
	})
	return err
}

func (p *player) setStage(ctx context.Context, who by, s stageMove) error {
	_, err := p.change(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		number := stageNumber(s.Stage)
		if number == 0 {
			return rebuild.Change{}, fmt.Errorf("there is no stage %q", s.Stage)
		}
		stage := r.Stages[number-1]
		stage.State = rebuild.StageState(s.State)
		if stage.State == rebuild.StageDone {
			stage.DoneOn = p.clock.date(s.Day)
		}
		if s.Note != "" {
			stage.Note = s.Note
		}
		return r.EditStage(stage)
	})
	return err
}

// stageNumber is the place of a stage from 1, 0 where there is none of that key.
func stageNumber(key string) int64 {
	return 1 + int64(slices.IndexFunc(rebuild.StagePlaces[:], func(s rebuild.StagePlace) bool { return s.Key == key }))
}

// markEvents keep the forecast as it stood at the end of each Saturday, and
// today: the history that the money page draws.
func (p *player) markEvents() []event {
	var all []event
	if p.story.Car.Begun > 0 && p.story.Weighed.Purchase.Price == "" {
		return nil // nothing is spent on a car that is only weighed
	}
	for day := p.story.Car.Bought / 7 * 7; day >= 0; day -= 7 {
		all = append(all, event{Deed{Day: day}, orderMark, "mark", p.keepMark})
	}
	return all
}

// keepMark asks the workshop as if it were open on that day: what it keeps when
// it closes is the day's mark.
func (p *player) keepMark(ctx context.Context, _ by) error {
	r, err := p.book.Load(ctx, p.id)
	if err != nil {
		return err
	}
	bench := workshop.New(p.book, silent, func() string { return p.clock.date(p.clock.day) })
	_, err = bench.Forecast(ctx, r)
	if closed := bench.Close(); err == nil {
		err = closed
	}
	return err
}
