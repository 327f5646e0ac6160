package main

import (
	"time"

	"wreckwright/appraise/history"
	"wreckwright/casefile"
	"wreckwright/uncertain"
)

// readHistoryCase reads the case file of a story. The error is a
// [*casefile.Error]. A file may say which day is today.
func readHistoryCase(file *casefile.File, today time.Time) (history.Case, error) {
	root := file.Root()
	c := history.Case{Jurisdiction: root.Need("jurisdiction").Text(), Today: today}
	if v, ok := root.May("today"); ok {
		c.Today = v.Date()
	}
	if v, ok := root.May("buyer"); ok {
		c.Private = v.Choice("private", "trade") == "private"
	}
	c.Vehicle = readVehicle(root.Need("vehicle").Mapping(), c.Today)
	for _, v := range root.Need("events").List() {
		c.Events = append(c.Events, readEvent(v, c))
	}
	return c, file.Err()
}

// firstCarYear is when there was the first car.
const firstCarYear = 1886

func readVehicle(m *casefile.Mapping, today time.Time) history.Vehicle {
	first := m.Need("first_used")
	v := history.Vehicle{FirstUsed: first.Date(), DistanceUnit: m.Need("distance_unit").Choice(history.Miles, history.Kilometres)}
	switch {
	case v.FirstUsed.Year() < firstCarYear:
		first.Fail("is before there were cars", "the day on which the car was first used")
	case v.FirstUsed.After(today):
		first.Fail(v.FirstUsed.Format(time.DateOnly)+" lies in the future", "a day up to "+today.Format(time.DateOnly))
	}
	if y, ok := m.May("model_year"); ok {
		v.ModelYear = y.Whole(firstCarYear, 2200)
	}
	return v
}

var odometerBounds = uncertain.Bounds{Min: 0, Max: history.MaxOdometer}

// readEvent reads one event. What cannot be in the case is told at the key that
// it is about: each detail is held against the case alone, beside the date and
// the kind.
func readEvent(item casefile.Value, c history.Case) history.Event {
	m := item.Mapping()
	date, kind := m.Need("date"), m.Need("kind")
	e := history.Event{Date: date.Date(), Kind: kind.Choice(history.Kinds...)}
	known := !e.Date.IsZero() && e.Kind != ""
	bare := e
	readDetails(m, &e)
	if e.Kind == history.Odometer && e.Odometer == nil {
		m.Need("odometer")
	}
	if !known || c.Vehicle.FirstUsed.IsZero() {
		return e
	}
	bare.Odometer = new(0.0)
	if problem, expected := c.CheckEvent(bare); problem != "" {
		date.Fail(problem, expected)
		return e
	}
	for key, only := range map[string]history.Event{
		"result": {Result: e.Result}, "category": {Category: e.Category}, "from": {From: e.From},
	} {
		only.Date, only.Kind, only.Odometer = bare.Date, bare.Kind, bare.Odometer
		if problem, expected := c.CheckEvent(only); problem != "" {
			v, _ := m.May(key)
			v.Fail(problem, expected)
		}
	}
	return e
}

// readDetails reads what an event may have beside its date and kind.
func readDetails(m *casefile.Mapping, e *history.Event) {
	if v, ok := m.May("odometer"); ok {
		e.Odometer = new(v.Number(odometerBounds))
	}
	if v, ok := m.May("unit"); ok {
		e.Unit = v.Choice(history.Miles, history.Kilometres)
	}
	if v, ok := m.May("result"); ok {
		e.Result = v.Choice(history.Pass, history.Fail)
	}
	for key, to := range map[string]*string{"category": &e.Category, "jurisdiction": &e.Jurisdiction, "from": &e.From, "note": &e.Note} {
		if v, ok := m.May(key); ok {
			*to = v.Text()
		}
	}
}
