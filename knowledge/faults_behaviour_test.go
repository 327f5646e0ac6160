package knowledge

import (
	"bytes"
	"cmp"
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
)

var updateCourses = flag.String("update-courses", "", "ask the engine again for the courses of these models (keys, divided by commas; or all) and write them to testdata/courses.txt; a minute for each")

const coursesFile = "testdata/courses.txt"

const coursesHead = `# What is advised, step by step, while one fault is there and every test shows
# what it shows most often under that fault: model, fault, then the tests and
# repairs. The last step is the cure. Written by: go test ./knowledge -run Courses -update-courses all
`

// outcomeUnder is what a test shows when a fault is there: its likeliest
// outcome, or the middle of its readings.
func outcomeUnder(test diagnose.Test, fault int) diagnose.Evidence {
	e := diagnose.Evidence{Test: test.ID}
	if test.Measured != nil {
		middle := test.Measured[fault].Centre
		e.Value = &middle
		return e
	}
	best := 0
	for o, chance := range test.Chance[fault] {
		if chance > test.Chance[fault][best] {
			best = o
		}
	}
	e.Outcome = test.Outcomes[best]
	return e
}

// walk takes one step while a fault is there. cured says that the step was a
// repair that cures it more often than not; other repairs fail.
func walk(c *diagnose.Case, id string, truth int) (cured bool, err error) {
	for _, test := range c.Tests {
		if test.ID == id {
			c.Evidence = append(c.Evidence, outcomeUnder(test, truth))
			return false, nil
		}
	}
	for _, r := range c.Repairs {
		if r.ID != id {
			continue
		}
		if r.Fixes[truth] >= 0.5 {
			return true, nil
		}
		c.Evidence = append(c.Evidence, diagnose.Evidence{Repair: id})
		return false, nil
	}
	return false, fmt.Errorf("neither a test nor a repair: %s", id)
}

// likeliest is the fault with the most of the chances.
func likeliest(t *testing.T, c diagnose.Case) (fault int, chance float64) {
	t.Helper()
	p, err := diagnose.Posterior(c)
	if err != nil {
		t.Fatal(err)
	}
	for f := range p {
		if p[f] > p[fault] {
			fault = f
		}
	}
	return fault, p[fault]
}

// TestCoursesEndAtTheFault follows the advised course for each fault of each
// model: when it comes to the repair that cures, that fault must be the
// likeliest.
func TestCoursesEndAtTheFault(t *testing.T) {
	courses := readCourses(t)
	if *updateCourses != "" {
		writeCourses(t, courses)
	}
	for key, m := range parsedFaults(t) {
		for f, fault := range m.Case.Faults {
			if m.Stop == "" {
				checkCourse(t, key, m.Case, f, courses[key+" "+fault.ID])
			}
		}
	}
}

// readCourses are the steps by model and fault, as they are on file.
func readCourses(t *testing.T) map[string][]string {
	t.Helper()
	data, err := os.ReadFile(coursesFile)
	if err != nil {
		t.Fatal(err)
	}
	courses := map[string][]string{}
	for line := range strings.Lines(string(data)) {
		if w := strings.Fields(line); len(w) > 2 && w[0] != "#" {
			courses[w[0]+" "+w[1]] = w[2:]
		}
	}
	return courses
}

func checkCourse(t *testing.T, key string, c diagnose.Case, truth int, steps []string) {
	t.Helper()
	name := key + ", " + c.Faults[truth].ID
	for i, id := range steps {
		before, chance := likeliest(t, c)
		cured, err := walk(&c, id, truth)
		if err != nil {
			t.Errorf("%s: %v: write the courses again", name, err)
			return
		}
		if cured != (i == len(steps)-1) {
			t.Errorf("%s: step %d, %s, cures: %t: write the courses again", name, i+1, id, cured)
			return
		}
		if cured {
			t.Logf("%-20s %-16s %.2f %s", key, c.Faults[before].ID, chance, strings.Join(steps, " "))
			if before != truth {
				t.Errorf("%s: at its cure %s is the likeliest, with %.2f, after %v", name, c.Faults[before].ID, chance, steps)
			}
			return
		}
	}
	t.Errorf("%s: no course: write the courses again", name)
}

// writeCourses asks the engine for the courses of the models named and keeps the
// others. What was asked once is remembered, since courses begin alike.
func writeCourses(t *testing.T, courses map[string][]string) {
	t.Helper()
	for _, m := range FaultModels() {
		parsed, err := faultmodel.Parse(m.Key, m.YAML)
		if err != nil {
			t.Fatal(err)
		}
		if parsed.Stop != "" || *updateCourses != "all" && !slices.Contains(strings.Split(*updateCourses, ","), m.Key) {
			continue
		}
		known := map[string]string{}
		for f, fault := range parsed.Case.Faults {
			courses[m.Key+" "+fault.ID] = advised(t, parsed.Case, f, known)
		}
		keepCourses(t, courses)
	}
}

func keepCourses(t *testing.T, courses map[string][]string) {
	t.Helper()
	out := bytes.NewBufferString(coursesHead)
	for _, name := range slices.Sorted(maps.Keys(courses)) {
		fmt.Fprintf(out, "%s %s\n", name, strings.Join(courses[name], " "))
	}
	if err := os.WriteFile(coursesFile, out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

func advised(t *testing.T, c diagnose.Case, truth int, known map[string]string) []string {
	t.Helper()
	path := ""
	var steps []string
	for len(steps) < 60 {
		next, ok := known[path]
		if !ok {
			a, err := diagnose.Advise(t.Context(), c)
			if err != nil {
				t.Fatalf("%s after %s: %v", c.Symptom, path, err)
			}
			next = a.Next.ID
			known[path] = next
		}
		steps = append(steps, next)
		if next == diagnose.WholeUnit {
			return steps
		}
		cured, err := walk(&c, next, truth)
		if err != nil || cured {
			return steps
		}
		path += " " + next
		if e := c.Evidence[len(c.Evidence)-1]; e.Value != nil {
			path += fmt.Sprintf(":%g", *e.Value)
		} else {
			path += ":" + e.Outcome
		}
	}
	return steps
}

// TestPlansSave holds every model to a saving against the whole unit, by the
// simplest plan of all: repairs by chance per cost, in a fixed order, no test,
// the whole unit when none is left. Every better plan saves more.
func TestPlansSave(t *testing.T) {
	for key, m := range parsedFaults(t) {
		c := m.Case
		left := make([]float64, len(c.Faults))
		for f := range left {
			left[f] = c.Faults[f].Prior
		}
		whole := inMoney(c, c.ReplaceAll.Cost, c.ReplaceAll.Minutes)
		plan, remaining := 0.0, 1.0
		for _, r := range byChancePerCost(c) {
			plan += remaining * inMoney(c, r.Cost, r.Minutes)
			remaining = 0
			for f := range left {
				left[f] *= 1 - r.Fixes[f]
				remaining += left[f]
			}
		}
		if plan += remaining * whole; plan >= whole {
			t.Errorf("%s: repairing without any test comes to %.0f, the whole unit to %.0f", key, plan, whole)
		}
	}
}

func inMoney(c diagnose.Case, cost, minutes float64) float64 { return cost + c.HourValue*minutes/60 }

func byChancePerCost(c diagnose.Case) []diagnose.Repair {
	worth := func(r diagnose.Repair) float64 {
		chance := 0.0
		for f, fault := range c.Faults {
			chance += fault.Prior * r.Fixes[f]
		}
		return chance / inMoney(c, r.Cost, r.Minutes)
	}
	list := slices.Clone(c.Repairs)
	slices.SortFunc(list, func(a, b diagnose.Repair) int { return cmp.Compare(worth(b), worth(a)) })
	return list
}

// TestEveryTestCanBeWorthIt looks for tests that no doubt makes worth doing:
// each must be advised in one of the courses, or be worth doing between two
// faults as likely as each other, before their surest repairs. The pairs that
// it parts best are asked first.
func TestEveryTestCanBeWorthIt(t *testing.T) {
	advisedIn := map[string][]string{}
	for name, steps := range readCourses(t) {
		key, _, _ := strings.Cut(name, " ")
		advisedIn[key] = append(advisedIn[key], steps...)
	}
	for key, m := range parsedFaults(t) {
		for _, test := range m.Case.Tests {
			if m.Stop == "" && !slices.Contains(advisedIn[key], test.ID) && !worthDoing(t, m.Case, test) {
				t.Errorf("%s: %s is never worth doing", key, test.ID)
			}
		}
	}
}

func worthDoing(t *testing.T, c diagnose.Case, test diagnose.Test) bool {
	t.Helper()
	pairs := pairsParted(c, test)
	for _, p := range pairs[:min(8, len(pairs))] {
		next, err := diagnose.Advise(t.Context(), between(c, test, p[0], p[1]))
		if err != nil {
			t.Fatal(err)
		}
		if next.Next.Kind == diagnose.KindTest {
			return true
		}
	}
	return false
}

// pairsParted are the pairs of faults, those that the test parts best first; of
// those alike the pair with the dearer repairs.
func pairsParted(c diagnose.Case, test diagnose.Test) [][2]int {
	var pairs [][2]int
	for a := range c.Faults {
		for b := range a {
			pairs = append(pairs, [2]int{a, b})
		}
	}
	gain := func(p [2]int) float64 {
		a, b := surest(c, p[0]), surest(c, p[1])
		return parted(test, p[0], p[1]) * min(inMoney(c, a.Cost, a.Minutes), inMoney(c, b.Cost, b.Minutes))
	}
	slices.SortFunc(pairs, func(p, q [2]int) int { return cmp.Compare(gain(q), gain(p)) })
	return pairs
}

// parted is how far apart two faults are in a test, from 0 to 1: the chance by
// which their outcomes differ, roughly for readings.
func parted(test diagnose.Test, a, b int) float64 {
	if test.Measured == nil {
		sum := 0.0
		for o := range test.Chance[a] {
			sum += math.Abs(test.Chance[a][o]-test.Chance[b][o]) / 2
		}
		return sum
	}
	x, y := test.Measured[a], test.Measured[b]
	apart, spread := math.Abs(x.Centre-y.Centre), x.Spread+y.Spread
	if x.Shape == diagnose.Lognormal {
		apart, spread = math.Abs(math.Log(x.Centre/y.Centre)), math.Log(x.Spread)+math.Log(y.Spread)
	}
	return math.Erf(apart / spread / math.Sqrt2)
}

// surest is the repair that cures a fault with the most certainty, the cheaper
// of two alike.
func surest(c diagnose.Case, fault int) diagnose.Repair {
	return slices.MaxFunc(c.Repairs, func(a, b diagnose.Repair) int {
		return cmp.Or(cmp.Compare(a.Fixes[fault], b.Fixes[fault]), cmp.Compare(inMoney(c, b.Cost, b.Minutes), inMoney(c, a.Cost, a.Minutes)))
	})
}

// between is a case of two faults and one test, with the surest repair for each.
func between(c diagnose.Case, test diagnose.Test, a, b int) diagnose.Case {
	full := c
	c.Faults = []diagnose.Fault{c.Faults[a], c.Faults[b]}
	c.Faults[0].Prior, c.Faults[1].Prior = 0.5, 0.5
	if test.Measured != nil {
		test.Measured = []diagnose.Reading{test.Measured[a], test.Measured[b]}
	} else {
		test.Chance = [][]float64{test.Chance[a], test.Chance[b]}
	}
	c.Tests = []diagnose.Test{test}
	repairs := []diagnose.Repair{surest(full, a)}
	if second := surest(full, b); second.ID != repairs[0].ID {
		repairs = append(repairs, second)
	}
	for i, r := range repairs {
		repairs[i].Fixes = []float64{r.Fixes[a], r.Fixes[b]}
	}
	c.Repairs = repairs
	return c
}

// TestTestsTellEveryFault does all tests of a model at once, each showing what
// it shows most often: the fault that is there must come out, and not by a hair.
func TestTestsTellEveryFault(t *testing.T) {
	for key, m := range parsedFaults(t) {
		for f, fault := range m.Case.Faults {
			c := m.Case
			for _, test := range c.Tests {
				c.Evidence = append(c.Evidence, outcomeUnder(test, f))
			}
			for _, r := range c.Repairs {
				if fault.ID == "other" && r.Fixes[f] < 0.5 {
					c.Evidence = append(c.Evidence, diagnose.Evidence{Repair: r.ID})
				}
			}
			if got, chance := likeliest(t, c); got != f || chance < 0.6 {
				t.Errorf("%s: all tests under %s make %s the likeliest, with %.2f", key, fault.ID, c.Faults[got].ID, chance)
			}
		}
	}
}
