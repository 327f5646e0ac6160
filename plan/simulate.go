package plan

import (
	"cmp"
	"context"
	"math"
	"slices"

	"wreckwright/uncertain"
)

// startsKept is the number of trials from which the spread of each start and end
// is taken: enough for its 10 % and 90 % points.
const startsKept = 2048

// simulation is a plan ready to be played.
type simulation struct {
	p       Problem
	g       *network
	lengths *lengths
	order   []int32
	flow    [][]int32
	policy  Policy
}

// newSimulation takes the order of a schedule. policy may be empty: then the one
// that does better in a few trials of its own is taken.
func newSimulation(p Problem, s Schedule, policy Policy) (*simulation, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	g, err := newNetwork(p)
	if err != nil {
		return nil, err
	}
	m := &simulation{p: p, g: g, lengths: newLengths(p, g), policy: policy}
	b := newBuilder(g)
	b.serial(p.listFrom(g, s.Order))
	b.sortBy(b.start)
	m.order = append(m.order, b.list...)
	m.flow = flowArcs(g, m.order, b.start, b.end)
	if policy == "" {
		m.policy = m.better()
	}
	return m, nil
}

// pilotTrials are enough to tell two policies apart that matter to a person.
const pilotTrials = 256

// better plays both policies on the same draws and gives the one with the less
// lateness and the earlier finish on average, in that order.
func (m *simulation) better() Policy {
	least, best := math.Inf(1), KeepOrder
	for _, policy := range []Policy{KeepOrder, TakeNext} {
		sum := 0.0
		m.each(pilotTrials, policy, func(y *player) {
			sum += 1000*toDays(m.g.late(y.end)) + toDays(finish(y.end))
		})
		if sum < least-1e-6 {
			least, best = sum, policy
		}
	}
	return best
}

// each plays the first trials one after the other.
func (m *simulation) each(trials int, policy Policy, note func(*player)) {
	y, c, work := newPlayer(m.g, policy, m.order, m.flow), m.lengths.newColumn(), make([]int64, m.g.n)
	for first := 0; first < trials; first += uncertain.BlockTrials {
		count := min(uncertain.BlockTrials, trials-first)
		m.lengths.draw(c, first, count)
		for k := range count {
			c.trial(work, k)
			y.play(work)
			note(y)
		}
	}
}

// outcome is what all trials came to.
type outcome struct {
	finish     []float64   // day, of each trial
	milestones [][]float64 // day, of each milestone and trial
	starts     [][]float64 // day, of each task, of the first trials
	ends       [][]float64
	critical   []float64 // share of trials, of each task
	share      []float64 // Cov(what a task took, finish)/Var(finish)
}

// run plays all trials on all cores.
func (m *simulation) run(ctx context.Context, trials int) (*outcome, error) {
	o := &outcome{finish: make([]float64, trials), starts: make([][]float64, m.g.tasks), ends: make([][]float64, m.g.tasks)}
	for range m.p.Milestones {
		o.milestones = append(o.milestones, make([]float64, trials))
	}
	for i := range o.starts {
		o.starts[i], o.ends[i] = make([]float64, min(trials, startsKept)), make([]float64, min(trials, startsKept))
	}
	blocks := make([]uncertain.CoMoments, (trials+uncertain.BlockTrials-1)/uncertain.BlockTrials)
	counts := make([][]int, len(blocks))
	err := uncertain.Blocks(ctx, trials, func() func(block, first, count int) {
		w := m.newWorker(o)
		return func(block, first, count int) { blocks[block], counts[block] = w.block(first, count) }
	})
	if err != nil {
		return nil, err
	}
	var joint uncertain.CoMoments
	o.critical = make([]float64, m.g.tasks)
	for b := range blocks {
		joint.Join(blocks[b])
		for i, n := range counts[b] {
			o.critical[i] += float64(n)
		}
	}
	for i := range o.critical {
		o.critical[i] /= float64(trials)
	}
	o.share = joint.Shares()
	return o, nil
}

// worker plays blocks of trials.
type worker struct {
	m       *simulation
	o       *outcome
	y       *player
	c       *column
	work    []int64
	seen    []bool
	lengths [][]float64
}

func (m *simulation) newWorker(o *outcome) *worker {
	w := &worker{
		m: m, o: o, y: newPlayer(m.g, m.policy, m.order, m.flow), c: m.lengths.newColumn(),
		work: make([]int64, m.g.n), seen: make([]bool, m.g.n), lengths: make([][]float64, m.g.tasks),
	}
	for i := range w.lengths {
		w.lengths[i] = make([]float64, uncertain.BlockTrials)
	}
	return w
}

func (w *worker) block(first, count int) (uncertain.CoMoments, []int) {
	m, o, y := w.m, w.o, w.y
	critical := make([]int, m.g.tasks)
	m.lengths.draw(w.c, first, count)
	for k := range count {
		w.c.trial(w.work, k)
		y.play(w.work)
		o.finish[first+k] = toDays(finish(y.end))
		for j := range o.milestones {
			o.milestones[j][first+k] = toDays(y.end[m.g.tasks+j])
		}
		for i := range m.g.tasks {
			w.lengths[i][k] = toDays(y.end[i] - y.start[i])
			if first+k < startsKept {
				o.starts[i][first+k], o.ends[i][first+k] = toDays(y.start[i]), toDays(y.end[i])
			}
		}
		y.trace(w.seen, func(i int32) {
			if int(i) < m.g.tasks {
				critical[i]++
			}
		})
	}
	columns := make([][]float64, m.g.tasks)
	for i := range columns {
		columns[i] = w.lengths[i][:count]
	}
	return uncertain.CoMomentsOf(columns, o.finish[first:first+count]), critical
}

// Simulate plays a schedule of the problem many times with drawn lengths. policy
// may be empty: then the better one of a pilot is taken. It fails with an
// [*InputError], or the context's error.
func Simulate(ctx context.Context, p Problem, s Schedule, policy Policy) (Doubt, error) {
	m, err := newSimulation(p, s, policy)
	if err != nil {
		return Doubt{}, err
	}
	trials := cmp.Or(p.Trials, DefaultTrials)
	o, err := m.run(ctx, trials)
	if err != nil {
		return Doubt{}, err
	}
	d := Doubt{Policy: m.policy, Trials: trials, Seed: p.Seed, MeanCost: m.cost(o)}
	for i, t := range p.Tasks {
		uncertain.SortFloats(o.starts[i])
		uncertain.SortFloats(o.ends[i])
		d.Tasks = append(d.Tasks, TaskDoubt{
			ID: t.ID, Criticality: o.critical[i], Share: o.share[i],
			StartP10: uncertain.SampleQuantile(o.starts[i], 0.1), StartP90: uncertain.SampleQuantile(o.starts[i], 0.9),
			EndP10: uncertain.SampleQuantile(o.ends[i], 0.1), EndP50: uncertain.SampleQuantile(o.ends[i], 0.5), EndP90: uncertain.SampleQuantile(o.ends[i], 0.9),
			Slots: p.onSlots(t, o.starts[i]),
		})
	}
	if err := m.delays(ctx, d.Tasks); err != nil {
		return Doubt{}, err
	}
	d.summarise(p, s, o)
	return d, nil
}

// Finishes plays a schedule as [Simulate] does and gives the finish of every trial,
// in their order, and nothing else: the same column as [Doubt.ByTrial], for far less
// work. It fails with an [*InputError], or the context's error.
func Finishes(ctx context.Context, p Problem, s Schedule, policy Policy) ([]float64, error) {
	m, err := newSimulation(p, s, policy)
	if err != nil {
		return nil, err
	}
	out := make([]float64, m.trials())
	err = uncertain.Blocks(ctx, len(out), func() func(block, first, count int) {
		y, c, work := newPlayer(m.g, m.policy, m.order, m.flow), m.lengths.newColumn(), make([]int64, m.g.n)
		return func(_, first, count int) {
			m.lengths.draw(c, first, count)
			for k := range count {
				c.trial(work, k)
				y.play(work)
				out[first+k] = toDays(finish(y.end))
			}
		}
	})
	return out, err
}

// onSlots are the shares of starts, smallest first, on each slot of a task.
func (p Problem) onSlots(t Task, starts []float64) []float64 {
	var shares []float64
	for _, day := range t.SlotDays {
		slot := p.slotMoment(day)
		shares = append(shares, uncertain.SampleChance(starts, slot+rounding)-uncertain.SampleChance(starts, slot-rounding))
	}
	return shares
}

// summarise sorts the trials and takes their quantiles and chances.
func (d *Doubt) summarise(p Problem, s Schedule, o *outcome) {
	d.byTrial = slices.Clone(o.finish)
	d.Finish, d.finish = quantiles(o.finish), o.finish
	d.FinishDates.P10, d.FinishDates.P50 = p.date(d.Finish.P10), p.date(d.Finish.P50)
	d.FinishDates.P80, d.FinishDates.P90 = p.date(d.Finish.P80), p.date(d.Finish.P90)
	d.ChanceOnPlan = d.ChanceWithin(s.FinishDay)
	for k, days := range o.milestones {
		d.Milestones = append(d.Milestones, quantiles(days))
		chance := math.NaN()
		if by := p.Milestones[k].ByDay; by != nil {
			chance = uncertain.SampleChance(days, *by+rounding)
		}
		d.Chances = append(d.Chances, chance)
	}
}

// rounding is what a day in ticks may be off by.
const rounding = 1e-6

// ChanceWithin is the chance that everything is done by the day.
func (d Doubt) ChanceWithin(day float64) float64 {
	return uncertain.SampleChance(d.finish, day+rounding)
}

// Sample is the finish of every trial, smallest first. It must not be changed.
func (d Doubt) Sample() []float64 { return d.finish }

// ByTrial is the finish of every trial in the order of the trials: what a
// forecast of the money adds to each trial of its own, times the cost of a day.
// It must not be changed.
func (d Doubt) ByTrial() []float64 { return d.byTrial }

// quantiles sorts a column and takes its figures.
func quantiles(days []float64) Quantiles {
	m := uncertain.MomentsOf(days)
	uncertain.SortFloats(days)
	return Quantiles{
		Mean: m.Mean, SD: math.Sqrt(m.Variance()),
		P10: uncertain.SampleQuantile(days, 0.1), P50: uncertain.SampleQuantile(days, 0.5),
		P80: uncertain.SampleQuantile(days, 0.8), P90: uncertain.SampleQuantile(days, 0.9),
	}
}

// cost is the mean cost of time: days until the finish and milestones missed.
func (m *simulation) cost(o *outcome) float64 {
	sum := 0.0
	for t, day := range o.finish {
		sum += m.costOf(day, func(k int) float64 { return o.milestones[k][t] })
	}
	return sum / float64(len(o.finish))
}

func (m *simulation) costOf(finish float64, reached func(k int) float64) float64 {
	cost := m.p.CostPerDay * max(0, finish-m.p.TodayDay)
	for k, s := range m.p.Milestones {
		if s.ByDay == nil {
			continue
		}
		if late := reached(k) - *s.ByDay; late > rounding {
			cost += s.LateCost + s.LateCostPerDay*late
		}
	}
	return cost
}
