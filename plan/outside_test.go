package plan

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"wreckwright/outside"
	"wreckwright/uncertain"
)

// activity is a row of the textbook's project: three-time estimate and the
// figures of the critical path that the book prints.
type activity struct {
	id             string
	o, m, p        float64
	after          string
	mean, variance float64
	es, ef, ls, lf float64
	critical       float64 // share of trials: testdata/reference.py
}

// reliable is the construction project of the chapter on PERT/CPM.
var reliable = []activity{
	{"A", 1, 2, 3, "", 2, 1. / 9, 0, 2, 0, 2, 1},
	{"B", 2, 3.5, 8, "A", 4, 1, 2, 6, 2, 6, 1},
	{"C", 6, 9, 18, "B", 10, 4, 6, 16, 6, 16, 1},
	{"D", 4, 5.5, 10, "C", 6, 1, 16, 22, 20, 26, .0990},
	{"E", 1, 4.5, 5, "C", 4, 4. / 9, 16, 20, 16, 20, .8302},
	{"F", 4, 4, 10, "E", 5, 1, 20, 25, 20, 25, .8302},
	{"G", 5, 6.5, 11, "D", 7, 1, 22, 29, 26, 33, .0990},
	{"H", 5, 8, 17, "EG", 9, 4, 29, 38, 33, 42, .0990},
	{"I", 3, 7.5, 9, "C", 7, 1, 16, 23, 18, 25, .0708},
	{"J", 3, 9, 9, "FI", 8, 1, 25, 33, 25, 33, .9010},
	{"K", 4, 4, 4, "J", 4, 0, 33, 37, 34, 38, .1570},
	{"L", 1, 5.5, 7, "J", 5, 1, 33, 38, 33, 38, .7440},
	{"M", 1, 2, 3, "H", 2, 1. / 9, 38, 40, 42, 44, .0990},
	{"N", 5, 5.5, 9, "KL", 6, 4. / 9, 38, 44, 38, 44, .9010},
}

func textbook() Problem {
	by := 47.0
	p := Problem{Start: monday, Seed: 1}
	var last []Link
	for _, a := range reliable {
		t := Task{ID: a.id, Days: certain(a.mean)}
		for _, b := range a.after {
			t.After = append(t.After, Link{ID: string(b)})
		}
		p.Tasks = append(p.Tasks, t)
		last = append(last, Link{ID: a.id})
	}
	p.Milestones = []Milestone{{ID: "handed over", After: last, ByDay: &by}}
	return p
}

// TestTextbookCriticalPath holds times, floats, path and the hand method's chance
// to the printed ones.
func TestTextbookCriticalPath(t *testing.T) {
	p := textbook()
	g := network4(t, p)
	free := newBare(g, g.likely)
	var cases []outside.Case
	add := func(what string, got, want float64) {
		cases = append(cases, outside.Case{Source: "HILLIER_LIEBERMAN", Where: "critical path", What: what, Got: got, Want: want, Tolerance: 1e-9, Why: "whole numbers"})
	}
	variance := 0.0
	s, err := Arrange(context.Background(), p, Search{})
	if err != nil {
		t.Fatal(err)
	}
	for i, a := range reliable {
		add(a.id+" earliest start", toDays(free.earlyStart[i]), a.es)
		add(a.id+" earliest finish", toDays(free.earlyEnd[i]), a.ef)
		add(a.id+" latest start", toDays(free.lateStart[i]), a.ls)
		add(a.id+" latest finish", toDays(free.lateEnd[i]), a.lf)
		add(a.id+" float", s.Placed[i].SlackDays, a.ls-a.es)
		if slices.Contains(s.Critical, a.id) {
			variance += a.variance
		}
	}
	add("project time", s.FinishDay, 44)
	add("variance of the critical path", variance, 9)
	cases = append(cases, outside.Case{
		Source: "HILLIER_LIEBERMAN", Where: "critical path", What: "chance of 47 weeks by the hand method",
		Got: uncertain.NormalCDF((47 - s.FinishDay) / math.Sqrt(variance)), Want: 0.8413, Tolerance: 5e-5, Why: "printed to 4 decimals",
	})
	outside.Check(t, cases)
	if got := strings.Join(s.Critical, ""); got != "ABCEFJLN" {
		t.Errorf("critical path %s; want ABCEFJLN", got)
	}
}

// played plays a problem with lengths drawn by the test and gives the finishes.
func played(t *testing.T, p Problem, policy Policy, trials int, draw func(task, trial int) float64) (finishes, critical []float64) {
	g := network4(t, p)
	y := newPlayer(g, policy, byRule(g, newBare(g, g.likely).lateEnd), make([][]int32, g.n))
	work, seen := make([]int64, g.n), make([]bool, g.n)
	critical = make([]float64, g.n)
	for k := range trials {
		for i := range g.tasks {
			work[i] = toTicks(draw(i, k))
		}
		y.play(work)
		finishes = append(finishes, toDays(finish(y.end)))
		y.trace(seen, func(i int32) { critical[i] += 1 / float64(trials) })
	}
	return finishes, critical
}

// pert is the usual beta distribution of a three-time estimate, by its inverse.
func pert(o, m, p, u float64) float64 {
	if o == p {
		return o
	}
	return o + (p-o)*distuv.Beta{Alpha: 1 + 4*(m-o)/(p-o), Beta: 1 + 4*(p-m)/(p-o)}.Quantile(u)
}

// TestMergingPaths: the played chance is lower than the hand method's, since the
// latest of several ways counts; the same with numpy.
func TestMergingPaths(t *testing.T) {
	const trials = 6000
	finishes, critical := played(t, textbook(), TakeNext, trials, func(i, k int) float64 {
		a := reliable[i]
		return pert(a.o, a.m, a.p, uncertain.NewStream(5, a.id, "beta").Uniform(k))
	})
	q := quantiles(finishes)
	root := math.Sqrt(trials)
	var cases []outside.Case
	add := func(what string, got, want, tolerance float64) {
		cases = append(cases, outside.Case{
			Source: "NUMPY_1_24", Where: "plan/testdata/reference.py", What: "textbook project, " + what, Got: got, Want: want,
			Tolerance: tolerance, Why: "4 standard errors of 6,000 trials",
		})
	}
	add("mean", q.Mean, 44.3224, 4*2.93/root)
	add("sd", q.SD, 2.9322, 4*2.93/root)
	add("chance of 47 weeks", uncertain.SampleChance(finishes, 47), 0.8165, 4*math.Sqrt(.8165*.1835)/root)
	add("50 % point", q.P50, 44.188, 4*1.25*2.93/root)
	add("90 % point", q.P90, 48.209, 4*1.71*2.93/root)
	for i, a := range reliable {
		add(a.id+" criticality", critical[i], a.critical, 4*math.Sqrt(a.critical*(1-a.critical))/root+1e-9)
	}
	outside.Check(t, cases)
}

// smallPlan is the small plan of testdata/reference.py, for two people.
func smallPlan() Problem {
	p := Problem{Start: monday, Seed: 1, Resources: []Resource{{ID: "people", Capacity: 2}}}
	for _, row := range []string{
		"1 3 1", "2 2 2 1+0", "3 4 2 2+0", "4 5 1 3+0 2+8", "5 3 2 1+0", "6 8 1 5+5", "7 4 1", "8 4 1 4+0", "9 3 1 8+0", "10 3 2 6+0 9+4", "11 6 1 10+0 7+0", "12 1 1 11+0",
	} {
		f := strings.Fields(row)
		days, _ := strconv.ParseFloat(f[1], 64)
		count, _ := strconv.Atoi(f[2])
		task := Task{ID: f[0], Days: certain(days), Uses: []Use{{"people", count}}}
		for _, link := range f[3:] {
			id, lag, _ := strings.Cut(link, "+")
			days, _ := strconv.ParseFloat(lag, 64)
			task.After = append(task.After, Link{id, days})
		}
		if f[0] == "7" {
			task.NotBeforeDay = 6
		}
		p.Tasks = append(p.Tasks, task)
	}
	return p
}

// TestSmallPlan holds a plan with lags and a release to a second implementation.
func TestSmallPlan(t *testing.T) {
	p := smallPlan()
	s, err := Arrange(context.Background(), p, Search{})
	if err != nil {
		t.Fatal(err)
	}
	if err := verify(p, s); err != nil {
		t.Error(err)
	}
	const trials = 20_000
	finishes, _ := played(t, p, TakeNext, trials, func(i, k int) float64 {
		d := p.Tasks[i].Days.Likely
		return pert(.8*d, d, 1.8*d, uncertain.NewStream(5, p.Tasks[i].ID, "beta").Uniform(k))
	})
	q := quantiles(finishes)
	outside.Check(t, []outside.Case{
		{Source: "NUMPY_1_24", Where: "plan/testdata/reference.py", What: "small plan, likely lengths", Got: s.FinishDay, Want: 39, Why: "whole days"},
		{Source: "NUMPY_1_24", Where: "plan/testdata/reference.py", What: "small plan, mean finish", Got: q.Mean, Want: 41.9387, Tolerance: 4 * 1.85 * math.Sqrt(2./trials), Why: "4 standard errors of two samples of 20,000"},
		{Source: "NUMPY_1_24", Where: "plan/testdata/reference.py", What: "small plan, sd of the finish", Got: q.SD, Want: 1.8442, Tolerance: 4 * 1.85 * math.Sqrt(2./trials), Why: "4 standard errors of two samples of 20,000"},
		{Source: "NUMPY_1_24", Where: "plan/testdata/reference.py", What: "small plan, 90 % point", Got: q.P90, Want: 44.375, Tolerance: 4 * 1.71 * 1.85 * math.Sqrt(2./trials), Why: "4 standard errors of two samples of 20,000"},
	})
}

// TestRulesAgainstInstances holds both schemes, three rules and justification to
// the finishes of an independent implementation on public instances.
func TestRulesAgainstInstances(t *testing.T) {
	var cases []outside.Case
	for _, in := range instances(t, "j") {
		g := network4(t, in.problem)
		free := newBare(g, g.likely)
		for r, name := range []string{"LFT", "LST", "MTS"} {
			list := byRule(g, priorities(g, free, rule(r)))
			b := newBuilder(g)
			b.serial(list)
			want, err := strconv.ParseFloat(in.column[name+"_serial"], 64)
			if err != nil {
				t.Fatal(err)
			}
			what := fmt.Sprintf("%s, %s, days", in.name, name)
			cases = append(cases, outside.Case{Source: "KOLISCH_1996", Where: "serial scheme", What: what, Got: toDays(finish(b.end)), Want: want, Why: "whole days"})
			y := newPlayer(g, TakeNext, list, nil)
			y.play(g.likely)
			want, _ = strconv.ParseFloat(in.column[name+"_parallel"], 64)
			cases = append(cases, outside.Case{Source: "KOLISCH_1996", Where: "parallel scheme", What: what, Got: toDays(finish(y.end)), Want: want, Why: "whole days"})
			cases = append(cases, outside.Case{Source: "KOLISCH_1996", Where: "priority rules", What: what + ", parallel", Got: toDays(finish(y.end)), Want: want, Why: "whole days"})
			if name == "LFT" {
				before := finish(b.end)
				b.justifyRight()
				b.justifyLeft()
				want, _ = strconv.ParseFloat(in.column["LFT_serial_plus_FBI"], 64)
				// Ties may be broken otherwise: what is held is that it is no worse, and near.
				cases = append(cases, outside.Case{Source: "VALLS_2005", Where: "double justification", What: what, Got: toDays(finish(b.end)), Want: want, Tolerance: 0.05 * want, Why: "ties between equal ends are broken in another order"})
				if finish(b.end) > before {
					t.Errorf("%s: justification made %d of %d", in.name, finish(b.end), before)
				}
			}
		}
	}
	outside.Check(t, cases)
}
