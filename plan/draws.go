package plan

import (
	"math"

	"wreckwright/uncertain"
)

// lengths draws how long every task takes in each trial. A number belongs to
// (seed, task, trial), so that a change elsewhere leaves all others alone.
type lengths struct {
	g      *network
	curves []uncertain.Curve
	scale  []float64 // ticks in one unit of the task's length
	own    []float64 // share of the score that is the task's own; the rest is common
	stream []uncertain.Stream
	common uncertain.Stream
	factor float64
	least  []float64 // of a task that is going on: the chance that it would be done by now
	shift  []int64   // added to every draw: a day more, an arrival a week earlier
}

// newLengths prepares the draws. Own work of one person runs over together: it
// shares a common factor; lead times and outside work are others' and draw
// alone.
//
// ref: DESIGN_DEPENDENCE
func newLengths(p Problem, g *network) *lengths {
	d := &lengths{
		g: g, curves: make([]uncertain.Curve, g.tasks), scale: make([]float64, g.tasks), own: make([]float64, g.tasks),
		stream: make([]uncertain.Stream, g.tasks), common: uncertain.NewStream(p.Seed, "", "own work"),
		factor: math.Sqrt(p.Correlation), least: make([]float64, g.tasks), shift: make([]int64, g.n),
	}
	for i, t := range p.Tasks {
		d.curves[i] = t.length().Curve()
		d.scale[i] = float64(p.ticks(t, 1024)) / 1024
		d.own[i] = 1
		if t.ownWork() {
			d.own[i] = math.Sqrt(1 - p.Correlation)
		}
		d.stream[i] = uncertain.NewStream(p.Seed, t.ID, "length")
		if g.fixed[i] && t.DoneDay == nil {
			gone := float64(g.calendar[i].between(g.release[i], g.until[i])) / d.scale[i]
			if gone > 0 && !t.length().IsCertain() {
				d.least[i] = d.curves[i].CDF(gone)
			}
		}
	}
	return d
}

// between is the open time from one time to another.
func (c *calendar) between(from, to int64) int64 {
	if c == nil {
		return to - from
	}
	return c.worked(to) - c.worked(from)
}

// column is what one worker keeps of a block of trials.
type column struct {
	factor, none, values []float64
	work                 []int64 // node by node, the trials of a block one after the other
}

func (d *lengths) newColumn() *column {
	return &column{
		factor: make([]float64, uncertain.BlockTrials), none: make([]float64, uncertain.BlockTrials),
		values: make([]float64, uncertain.BlockTrials), work: make([]int64, d.g.n*uncertain.BlockTrials),
	}
}

// longest is where a drawn length is cut off, in ticks: 100,000 days. The far end
// of a lopsided range has no end.
const longest = 100_000 * float64(tickDay)

// draw fills the column with the trials from first on.
func (d *lengths) draw(c *column, first, count int) {
	factor := c.factor[:count]
	uncertain.Loading{Common: d.factor}.Factor(factor, d.common, first)
	for i := range d.g.n {
		work := c.work[i*uncertain.BlockTrials:][:count]
		switch {
		case i >= d.g.tasks || d.g.fixed[i] && d.g.until[i] == 0 || d.curves[i].Range.IsCertain():
			for k := range work {
				work[k] = max(0, d.g.likely[i]+d.shift[i])
			}
			continue
		case d.own[i] < 1:
			d.curves[i].Draw(c.values[:count], d.own[i], d.stream[i], first, factor)
		default:
			d.curves[i].Draw(c.values[:count], 1, d.stream[i], first, c.none[:count])
		}
		if d.least[i] > 0 {
			d.goingOn(i, c.values[:count], first)
		}
		for k, v := range c.values[:count] {
			work[k] = max(0, int64(min(v*d.scale[i], longest))+d.shift[i])
		}
	}
}

// goingOn draws the length of a task that has begun and is not done: its
// distribution above what has gone by.
func (d *lengths) goingOn(i int, values []float64, first int) {
	for k := range values {
		u := d.least[i] + (1-d.least[i])*d.stream[i].Uniform(first+k)
		values[k] = max(0, d.curves[i].At(uncertain.NormalQuantile(min(u, 1-1e-12))))
	}
}

// trial gathers the lengths of trial k of the column.
func (c *column) trial(work []int64, k int) {
	for i := range work {
		work[i] = c.work[i*uncertain.BlockTrials+k]
	}
}
