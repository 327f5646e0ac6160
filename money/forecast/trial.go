package forecast

import (
	"fmt"

	"wreckwright/uncertain"
)

// input is one range with its random numbers.
type input struct {
	curve   uncertain.Curve
	stream  uncertain.Stream
	certain bool
	value   float64 // where certain
}

func newInput(r uncertain.Range, seed uint64, item, name string) input {
	return input{
		curve: r.Curve(), stream: uncertain.NewStream(seed, item, name),
		certain: r.IsCertain(), value: r.Likely,
	}
}

func newOptional(r *uncertain.Range, seed uint64, item, name string) *input {
	if r == nil || *r == uncertain.Certain(0) {
		return nil
	}
	in := newInput(*r, seed, item, name)
	return &in
}

// event is something that happens with a chance, by a uniform number below it:
// raising the chance only adds trials in which it happens.
type event struct {
	chance float64
	stream uncertain.Stream
}

func newEvent(chance *float64, seed uint64, item, name string) event {
	e := event{chance: 1, stream: uncertain.NewStream(seed, item, name)}
	if chance != nil {
		e.chance = *chance
	}
	return e
}

type jobPlan struct {
	cost, fallbackCost   *input
	hours, fallbackHours *input
	needed, fails        event
	paid, hoursDone      float64
}

type hiddenPlan struct {
	counts   uncertain.Counts
	count    uncertain.Stream
	cost     uncertain.Curve
	certain  bool
	severity []uncertain.Stream // of the first, second, ... item
}

// simulation is a case made ready to be drawn.
type simulation struct {
	factor    uncertain.Stream
	loading   uncertain.Loading
	hourValue float64
	jobs      []jobPlan
	hidden    []hiddenPlan
	other     [][]float64 // by trial
}

func newSimulation(c Case, bias uncertain.Bias) *simulation {
	s := &simulation{
		factor:    uncertain.NewStream(c.Seed, "common", "factor"),
		loading:   uncertain.NewLoading(c.Correlation, bias),
		hourValue: c.HourValue,
	}
	names := map[string]int{}
	for _, j := range c.Jobs {
		s.jobs = append(s.jobs, planJob(j, c.Seed, distinct(names, "job/"+j.key())))
	}
	for _, h := range c.Hidden {
		s.hidden = append(s.hidden, planHidden(h, c.Seed, distinct(names, "hidden/"+h.Zone)))
	}
	for _, o := range c.Other {
		s.other = append(s.other, o.ByTrial)
	}
	return s
}

func (j Job) key() string {
	if j.Key != "" {
		return j.Key
	}
	return j.Name
}

// distinct keeps two items of the same name from sharing their numbers.
func distinct(seen map[string]int, item string) string {
	seen[item]++
	if n := seen[item]; n > 1 {
		return fmt.Sprintf("%s\x00%d", item, n)
	}
	return item
}

func planJob(j Job, seed uint64, item string) jobPlan {
	p := jobPlan{
		cost:   newOptional(&j.Cost, seed, item, "cost"),
		hours:  newOptional(j.Hours, seed, item, "hours"),
		needed: newEvent(j.Needed, seed, item, "needed"),
		fails:  newEvent(j.Works, seed, item, "works"),
		paid:   j.Paid, hoursDone: j.HoursDone,
	}
	p.fails.chance = 1 - p.fails.chance
	if j.Fallback == nil {
		p.fails.chance = 0
		return p
	}
	p.fallbackCost = newOptional(&j.Fallback.Cost, seed, item, "fallback cost")
	p.fallbackHours = newOptional(j.Fallback.Hours, seed, item, "fallback hours")
	return p
}

func planHidden(h Hidden, seed uint64, item string) hiddenPlan {
	p := hiddenPlan{
		counts: uncertain.NewCounts(h.Expected), count: uncertain.NewStream(seed, item, "count"),
		cost: h.Cost.Curve(), certain: h.Cost.IsCertain(),
	}
	for k := range p.counts.Max() {
		p.severity = append(p.severity, uncertain.NewStream(seed, item, fmt.Sprintf("cost %d", k+1)))
	}
	return p
}

// bench is the columns of one core.
type bench struct {
	sim    *simulation
	factor []float64   // the common part of every score, by trial
	items  [][]float64 // money of each item
	hours  []float64   // of one job at a time
	chosen []int32     // trials in which something extra is paid
	scores []float64   // their values
	counts []int32     // hidden items of each trial
}

func (s *simulation) newBench() *bench {
	column := func() []float64 { return make([]float64, uncertain.BlockTrials) }
	b := &bench{
		sim: s, factor: column(), scores: column(), hours: column(),
		chosen: make([]int32, 0, uncertain.BlockTrials), counts: make([]int32, uncertain.BlockTrials),
	}
	for range len(s.jobs) + len(s.hidden) + len(s.other) {
		b.items = append(b.items, column())
	}
	return b
}

// block draws count trials from first on and adds them to remaining and hours.
// It gives the items' money, good until the next call, and each job's hours
// summed up.
func (b *bench) block(first, count int, remaining, hours []float64) (items [][]float64, hoursOf []float64) {
	factor := b.factor[:count]
	b.sim.loading.Factor(factor, b.sim.factor, first)
	items = make([][]float64, len(b.items))
	hoursOf = make([]float64, len(b.sim.jobs))
	for k := range b.sim.jobs {
		own := b.hours[:count]
		items[k] = b.items[k][:count]
		b.job(&b.sim.jobs[k], first, items[k], own)
		if b.sim.jobs[k].takesHours() {
			hoursOf[k] = addHours(b.sim.hourValue, own, items[k], remaining, hours)
		} else {
			add(remaining, items[k], 1)
		}
	}
	for i := range b.sim.hidden {
		k := len(b.sim.jobs) + i
		items[k] = b.items[k][:count]
		b.hidden(&b.sim.hidden[i], first, items[k])
		add(remaining, items[k], 1)
	}
	for i, byTrial := range b.sim.other {
		k := len(b.sim.jobs) + len(b.sim.hidden) + i
		items[k] = b.items[k][:count]
		for t := range items[k] {
			items[k][t] = byTrial[(first+t)%len(byTrial)]
		}
		add(remaining, items[k], 1)
	}
	return items, hoursOf
}

// addHours adds one job: its hours to its money at their worth, the sum to
// remaining, its hours to all hours. It gives the sum of its hours.
func addHours(worth float64, own, money, remaining, hours []float64) (sum float64) {
	money, remaining, hours = money[:len(own)], remaining[:len(own)], hours[:len(own)]
	for i, h := range own {
		m := money[i] + worth*h
		money[i] = m
		remaining[i] += m
		hours[i] += h
		sum += h
	}
	return sum
}

// takesHours reports whether any own hours can fall to the job.
func (j *jobPlan) takesHours() bool { return j.hours != nil || j.fallbackHours != nil }

func add(to, column []float64, factor float64) {
	to = to[:len(column)]
	for i, v := range column {
		to[i] += factor * v
	}
}

// job fills the columns of one job's hours and of its money, hours apart.
func (b *bench) job(j *jobPlan, first int, money, hours []float64) {
	b.draw(j.cost, first, money)
	b.draw(j.hours, first, hours)
	if j.needed.chance < 1 {
		for i := range money {
			if j.needed.stream.Uniform(first+i) >= j.needed.chance {
				money[i], hours[i] = 0, 0
			}
		}
	}
	if j.fails.chance > 0 {
		b.fail(j, first, money, hours)
	}
	takeOff(money, j.paid)
	takeOff(hours, j.hoursDone)
}

// takeOff leaves in a column what is over the given value, never below zero.
func takeOff(column []float64, value float64) {
	if value == 0 {
		return
	}
	for i, v := range column {
		column[i] = max(0, v-value)
	}
}

// draw fills a column with the values of an input.
func (b *bench) draw(in *input, first int, dst []float64) {
	switch {
	case in == nil:
		clear(dst)
	case in.certain:
		for i := range dst {
			dst[i] = in.value
		}
	default:
		in.curve.Draw(dst, b.sim.loading.Own, in.stream, first, b.factor)
	}
}

// fail pays the fallback in those trials in which the route is taken and does
// not work.
func (b *bench) fail(j *jobPlan, first int, money, hours []float64) {
	chosen := b.chosen[:0]
	for i := range money {
		if j.fails.stream.Uniform(first+i) < j.fails.chance {
			chosen = append(chosen, int32(i))
		}
	}
	if j.needed.chance < 1 {
		kept := chosen[:0]
		for _, t := range chosen {
			if j.needed.stream.Uniform(first+int(t)) < j.needed.chance {
				kept = append(kept, t)
			}
		}
		chosen = kept
	}
	b.addChosen(j.fallbackCost, first, chosen, money)
	b.addChosen(j.fallbackHours, first, chosen, hours)
}

// addChosen adds the values of an input in the chosen trials to the column.
func (b *bench) addChosen(in *input, first int, chosen []int32, column []float64) {
	if in == nil || len(chosen) == 0 {
		return
	}
	if in.certain {
		for _, t := range chosen {
			column[t] += in.value
		}
		return
	}
	b.addScored(in.curve, in.stream, first, chosen, column)
}

func (b *bench) addScored(curve uncertain.Curve, stream uncertain.Stream, first int, chosen []int32, column []float64) {
	values := b.scores[:len(chosen)]
	curve.DrawAt(values, b.sim.loading.Own, stream, first, chosen, b.factor)
	for i, t := range chosen {
		column[t] += values[i]
	}
}

// hidden fills the column of the damage not yet seen: a number of items for
// each trial, then the first item of every trial that has one, the second, ...
func (b *bench) hidden(h *hiddenPlan, first int, money []float64) {
	clear(money)
	counts := b.counts[:len(money)]
	most := int32(0)
	for i := range counts {
		counts[i] = int32(h.counts.Count(h.count.Uniform(first + i)))
		most = max(most, counts[i])
	}
	if h.certain {
		for i, n := range counts {
			money[i] = float64(n) * h.cost.Range.Likely
		}
		return
	}
	for k := range most {
		chosen := b.chosen[:0]
		for i, n := range counts {
			if n > k {
				chosen = append(chosen, int32(i))
			}
		}
		b.addScored(h.cost, h.severity[k], first, chosen, money)
	}
}
