package plan

import (
	"cmp"
	"math"
	"slices"

	"wreckwright/uncertain"
)

// lengths draws how long every task takes in each trial. A number belongs to
// (seed, task, trial), so that a change elsewhere leaves all others alone.
type lengths struct {
	g      *network
	curves []uncertain.Curve
	scale  []float64         // ticks in one unit of the task's length
	habit  uncertain.Loading // how the score of own work is made up
	shares []bool            // own work: shares the factor and the habit
	stream []uncertain.Stream
	common uncertain.Stream
	least  []float64 // of a task that is going on: the chance that it would be done by now
	skip   []chance  // that it is not needed
	again  []chance  // that its first way fails
	more   []uncertain.Curve
	extra  []uncertain.Stream // of the length of that
	shift  []int64            // added to every draw: a day more, an arrival a week earlier
}

// chance is a coin of its own for each trial.
type chance struct {
	of     float64
	stream uncertain.Stream
}

func (c chance) falls(trial int) bool { return c.of > 0 && c.stream.Uniform(trial) < c.of }

// misses is the other side of the coin: where the forecast of the money has the
// same chance of being needed, it falls in the same trials.
func (c chance) misses(trial int) bool { return c.of > 0 && c.stream.Uniform(trial) >= 1-c.of }

func (t Task) key() string { return cmp.Or(t.Draws, t.ID) }

// fate is the task whose coin says whether one is needed.
func (p Problem) fate(t Task) Task {
	if i := slices.IndexFunc(p.Tasks, func(o Task) bool { return o.ID == t.SkipAs }); t.SkipAs != "" && i >= 0 {
		return p.Tasks[i]
	}
	return t
}

// newLengths prepares the draws, under the names that money/forecast gives its own,
// so that time and money of a trial belong together. Own work of one person runs over together: it
// shares a common factor; lead times and outside work are others' and draw
// alone.
//
// ref: DESIGN_DEPENDENCE; DESIGN_BIAS
func newLengths(p Problem, g *network) *lengths {
	d := &lengths{
		g: g, curves: make([]uncertain.Curve, g.tasks), scale: make([]float64, g.tasks), shares: make([]bool, g.tasks),
		stream: make([]uncertain.Stream, g.tasks), common: uncertain.NewStream(p.Seed, "common", "factor"),
		habit: p.loading(), least: make([]float64, g.tasks), shift: make([]int64, g.n),
		skip: make([]chance, g.tasks), again: make([]chance, g.tasks), more: make([]uncertain.Curve, g.tasks), extra: make([]uncertain.Stream, g.tasks),
	}
	for i, t := range p.Tasks {
		d.curves[i] = t.length().Curve()
		d.scale[i] = float64(p.ticks(t, 1024)) / 1024
		d.shares[i] = t.ownWork()
		d.stream[i] = uncertain.NewStream(p.Seed, t.key(), "hours")
		if t.DoneDay != nil {
			continue
		}
		if t.StartedDay == nil {
			d.skip[i] = chance{t.Skip, uncertain.NewStream(p.Seed, p.fate(t).key(), "needed")}
		}
		if g.fixed[i] {
			gone := float64(g.calendar[i].between(g.release[i], g.until[i])) / d.scale[i]
			if gone > 0 {
				d.least[i] = d.doneBy(i, gone)
			}
		}
		d.mayFail(p, i, t)
	}
	return d
}

// loading is how the scores of own work are made up, as in the forecast of the money.
func (p Problem) loading() uncertain.Loading {
	bias := p.Bias
	if bias == (uncertain.Bias{}) {
		bias = uncertain.NoBias()
	}
	return uncertain.NewLoading(p.Correlation, bias)
}

// read is the score at which a range is read for a plain one: own work is read with
// the habit.
func (d *lengths) read(i int, z float64) float64 {
	if !d.shares[i] {
		return z
	}
	return d.habit.Shift + math.Hypot(d.habit.Common, d.habit.Own)*z
}

// doneBy is the chance that a task is done within a length.
func (d *lengths) doneBy(i int, gone float64) float64 {
	plain := d.curves[i].CDF(gone)
	if !d.shares[i] || plain == 0 || plain == 1 {
		return plain
	}
	return uncertain.NormalCDF((d.curves[i].Score(gone) - d.habit.Shift) / math.Hypot(d.habit.Common, d.habit.Own))
}

// mayFail prepares what follows where the first way of a task fails. Of a task
// that is going on the chance of that has grown: had it worked, it might be done
// by now. What follows is taken to last beyond now.
func (d *lengths) mayFail(p Problem, i int, t Task) {
	if t.Again == nil || t.Again.Chance == 0 {
		return
	}
	of := t.Again.Chance
	of /= of + (1-of)*(1-d.least[i])
	d.again[i] = chance{of, uncertain.NewStream(p.Seed, t.key(), "works")}
	d.more[i], d.extra[i] = t.Again.length().Curve(), uncertain.NewStream(p.Seed, t.key(), "fallback hours")
}

// between is the open time from one time to another.
func (c *calendar) between(from, to int64) int64 {
	if c == nil {
		return to - from
	}
	return c.worked(to) - c.worked(from)
}

// almostSure is where a chance is cut off, so that it has a score.
const almostSure = 1 - 1e-12

// column is what one worker keeps of a block of trials.
type column struct {
	factor, none, values []float64
	more                 []float64 // what follows a first way that failed
	work                 []int64   // node by node, the trials of a block one after the other
}

func (d *lengths) newColumn() *column {
	return &column{
		factor: make([]float64, uncertain.BlockTrials), none: make([]float64, uncertain.BlockTrials),
		values: make([]float64, uncertain.BlockTrials), more: make([]float64, uncertain.BlockTrials), work: make([]int64, d.g.n*uncertain.BlockTrials),
	}
}

// longest is where a drawn length is cut off, in ticks: 100,000 days. The far end
// of a lopsided range has no end.
const longest = 100_000 * float64(tickDay)

// draw fills the column with the trials from first on.
func (d *lengths) draw(c *column, first, count int) {
	factor := c.factor[:count]
	d.habit.Factor(factor, d.common, first)
	for i := range d.g.n {
		work := c.work[i*uncertain.BlockTrials:][:count]
		if i >= d.g.tasks || d.g.fixed[i] && d.g.until[i] == 0 {
			for k := range work {
				work[k] = max(0, d.g.likely[i]+d.shift[i])
			}
			continue
		}
		values := c.values[:count]
		d.curve(d.curves[i], i, d.stream[i], c, values, first)
		if d.least[i] > 0 && !d.curves[i].Range.IsCertain() {
			d.goingOn(i, values, first)
		}
		if d.again[i].of > 0 {
			d.addMore(i, c, values, first)
		}
		for k, v := range values {
			work[k] = max(0, int64(math.Round(min(v*d.scale[i], longest)))+d.shift[i])
			if d.skip[i].misses(first + k) {
				work[k] = 0
			}
		}
	}
}

// curve draws from a distribution in the unit of task i, own work with the
// factor that it shares.
func (d *lengths) curve(curve uncertain.Curve, i int, stream uncertain.Stream, c *column, out []float64, first int) {
	switch {
	case curve.Range.IsCertain():
		for k := range out {
			out[k] = curve.Range.Likely
		}
	case d.shares[i]:
		curve.Draw(out, d.habit.Own, stream, first, c.factor[:len(out)])
	default:
		curve.Draw(out, 1, stream, first, c.none[:len(out)])
	}
}

// addMore adds the work that follows in the trials in which the first way fails.
func (d *lengths) addMore(i int, c *column, values []float64, first int) {
	more := c.more[:len(values)]
	d.curve(d.more[i], i, d.extra[i], c, more, first)
	for k := range values {
		if d.again[i].falls(first + k) {
			values[k] += max(0, more[k])
		}
	}
}

// goingOn draws the length of a task that has begun and is not done: its
// distribution above what has gone by.
func (d *lengths) goingOn(i int, values []float64, first int) {
	for k := range values {
		u := d.least[i] + (1-d.least[i])*d.stream[i].Uniform(first+k)
		values[k] = max(0, d.curves[i].At(d.read(i, uncertain.NormalQuantile(min(u, almostSure)))))
	}
}

// trial gathers the lengths of trial k of the column.
func (c *column) trial(work []int64, k int) {
	for i := range work {
		work[i] = c.work[i*uncertain.BlockTrials+k]
	}
}
