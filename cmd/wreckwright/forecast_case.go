package main

import (
	"wreckwright/casefile"
	"wreckwright/money/forecast"
	"wreckwright/uncertain"
)

// readForecastCase reads the case file of the forecast. The error is a
// [*casefile.Error].
func readForecastCase(file *casefile.File) (forecast.Case, error) {
	root := file.Root()
	c := forecast.NewCase(readCurrency(root))
	if v, ok := root.May("ceiling"); ok {
		c.Ceiling = new(v.Number(uncertain.MoneyBounds))
	}
	c.Spent = root.Need("spent").Number(uncertain.MoneyBounds)
	c.HourValue = root.Need("hour_value").Number(hourValueBounds)
	readSettings(root, &c)
	c.Jobs = readJobs(root.Need("jobs"))
	c.Hidden = readHidden(root)
	if v, ok := root.May("closed"); ok {
		c.Closed = readClosed(v)
	}
	return c, file.Err()
}

func readClosed(list casefile.Value) []uncertain.Closed {
	var closed []uncertain.Closed
	for _, v := range list.List() {
		m := v.Mapping()
		closed = append(closed, uncertain.Closed{
			Range:  m.Range(uncertain.MoneyBounds),
			Actual: m.Need("actual").Number(uncertain.MoneyBounds),
		})
	}
	return closed
}
