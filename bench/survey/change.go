package survey

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"

	"wreckwright/working"
)

// The parts of a comparison.
const (
	PartBefore = "before"
	PartAfter  = "after"
)

// PartError is a mistake in one of two surveys.
type PartError struct {
	Part string
	Err  error
}

func (e *PartError) Error() string { return "the survey " + e.Part + ": " + e.Err.Error() }

func (e *PartError) Unwrap() error { return e.Err }

// Change is what two surveys of the same points say of what happened between
// them. Lengths in mm, in the axes of the survey before, or of the survey after
// where only that one has nominal points.
type Change struct {
	Before Result `json:"before"`
	After  Result `json:"after"`

	Points     []Shift         `json:"points"` // in both surveys
	Moved      []Moved         `json:"moved"`
	Groups     []string        `json:"groups"`
	Congruence *Congruence     `json:"congruence"`
	StillOut   []StillOut      `json:"still_out"`
	OnlyBefore []string        `json:"only_before"`
	OnlyAfter  []string        `json:"only_after"`
	Verdict    string          `json:"verdict"` // of the survey after: is it straight now
	Why        string          `json:"why"`
	Notes      []string        `json:"notes"`
	Cautions   []string        `json:"cautions"`
	Working    working.Working `json:"working"`
}

// Shift is how far a point went from the first survey to the second.
type Shift struct {
	ID    string    `json:"id"`
	D     []float64 `json:"d_mm"`
	SD    []float64 `json:"sd_mm"`
	Moved bool      `json:"moved"`
}

// StillOut is a place that does not pass after, with where it was before.
type StillOut struct {
	ID       string    `json:"id"`
	BeforeMm []float64 `json:"before_mm"` // empty where it was not compared before
	AfterMm  []float64 `json:"after_mm"`
	SDMm     []float64 `json:"sd_mm"`
	Verdict  string    `json:"verdict"`
}

// Compare works two surveys of the same points out and what moved between them.
// The car may stand elsewhere the second time. Errors are of type *[PartError]
// around an *[InputError].
//
// ref: DESIGN_SURVEY_AIDS
func Compare(before, after Case) (Change, error) {
	first, err := examined(before)
	if err != nil {
		return Change{}, &PartError{PartBefore, err}
	}
	second, err := examined(after)
	if err != nil {
		return Change{}, &PartError{PartAfter, err}
	}
	c := &change{first: first, second: second}
	c.r = Change{Before: first.r, After: second.r, Cautions: second.r.Cautions}
	c.match()
	why := c.obstacle()
	if why == "" {
		why = c.compare()
	}
	c.tell(why)
	return c.r, nil
}

type change struct {
	first, second *examination
	ids           []string
	at            [2][]int // numbers of the common points in each survey
	r             Change
}

// match lists the common points and the others.
func (c *change) match() {
	c.r.OnlyBefore, c.r.OnlyAfter = []string{}, []string{}
	for i, id := range c.first.n.ids {
		j, ok := c.second.n.of[id]
		if !ok {
			c.r.OnlyBefore = append(c.r.OnlyBefore, id)
			continue
		}
		c.ids = append(c.ids, id)
		c.at[0], c.at[1] = append(c.at[0], i), append(c.at[1], j)
	}
	for _, id := range c.second.n.ids {
		if !known(c.first.n, id) {
			c.r.OnlyAfter = append(c.r.OnlyAfter, id)
		}
	}
}

// leastCommon is how many points two surveys must share: three define the frame
// and more than half of all stand still.
const leastCommon = 5

// obstacle is why the two cannot be set against each other, "" where they can.
func (c *change) obstacle() string {
	a, b := c.first, c.second
	switch {
	case len(c.ids) < leastCommon:
		return fmt.Sprintf("only %s in both surveys: five or more are needed, named alike", numberOfPoints(len(c.ids)))
	case a.a.net.dims != b.a.net.dims:
		return "one survey was worked out in plan and the other in space: read heights both times, or neither"
	case len(a.a.loose) > 0:
		return "the readings before leave the shape loose at " + names(a.ofPoints(a.a.loose))
	case len(b.a.loose) > 0:
		return "the readings after leave the shape loose at " + names(b.ofPoints(b.a.loose))
	case a.folds() || b.folds():
		return "distances alone leave the heights open and several shapes fit them: read the height of every point both times"
	}
	return ""
}

// compare sets the second survey onto the first and finds what moved.
func (c *change) compare() string {
	dims := c.first.a.net.dims
	base, other, sign := c.first, c.second, 1.0
	baseAt, otherAt := c.at[0], c.at[1]
	if len(base.c.Nominal) == 0 && len(other.c.Nominal) > 0 {
		base, other, sign = other, base, -1
		baseAt, otherAt = otherAt, baseAt
	}
	f := &field{dims: dims}
	x := pick(base.a.x, baseAt, dims)
	q := pickCovariance(base.a.q, baseAt, dims)
	y, qy := pick(other.a.x, otherAt, dims), pickCovariance(other.a.q, otherAt, dims)
	if mirrored(x, y, dims) && (loosely(base) || loosely(other)) {
		flip(y, qy, dims)
	}
	m := robust(y, x, dims)
	result := comparison{dims: dims, frame: m}
	for range 2 {
		f.set(x, m.apply(y), sign)
		f.q = sum(q, m.covariance(qy))
		f.q = holding(f.q, f.free, mat.Trace(f.q)/float64(len(x)))
		var ok bool
		if result.found, ok = f.localise(); !ok {
			return "the points common to both surveys hang together too loosely to be compared"
		}
		if result.d, result.q, ok = f.framed(result.still, f.q); !ok {
			return "the points common to both surveys hang together too loosely to be compared"
		}
		weight := make([]float64, len(c.ids))
		for _, i := range result.still {
			weight[i] = 1
		}
		m = fit(y, x, weight, dims)
	}
	c.keep(result, x, base)
	return ""
}

// set fills in how far y is from x, and the motions of the whole.
func (f *field) set(x, y []float64, sign float64) {
	f.d = make([]float64, len(x))
	for i := range x {
		f.d[i] = sign * (y[i] - x[i])
	}
	f.free = motions(x, f.dims)
}

func sum(a, b *mat.SymDense) *mat.SymDense {
	var out mat.SymDense
	out.AddSym(a, b)
	return &out
}

// loosely reports that nothing tells a survey from its mirror image.
func loosely(e *examination) bool {
	return len(e.c.Nominal) == 0 && (e.a.net.dims == 2 || !e.a.net.hasHeights() || len(e.c.Pairs) < 2)
}

// mirrored reports that y is much closer to the mirror image of x than to x.
func mirrored(x, y []float64, dims int) bool {
	z := append([]float64(nil), y...)
	flip(z, nil, dims)
	return middling(z, x, dims) < middling(y, x, dims)/2
}

// middling is the median distance that the best motion of p to q leaves.
func middling(p, q []float64, dims int) float64 {
	moved := robust(p, q, dims).apply(p)
	var left []float64
	for i := 0; i < len(p); i += dims {
		left = append(left, rms(moved[i:i+dims], q[i:i+dims], dims))
	}
	return median(left)
}

// flip mirrors points, with their covariance, in y.
func flip(x []float64, q *mat.SymDense, dims int) {
	for i := 1; i < len(x); i += dims {
		x[i] = -x[i]
	}
	if q == nil {
		return
	}
	for i := range len(x) {
		for j := i; j < len(x); j++ {
			if (i%dims == 1) != (j%dims == 1) {
				q.SetSym(i, j, -q.At(i, j))
			}
		}
	}
}

// keep writes down what moved.
func (c *change) keep(result comparison, x []float64, base *examination) {
	dims := result.dims
	for i, id := range c.ids {
		s := Shift{ID: id}
		for k := range dims {
			at := i*dims + k
			s.D = append(s.D, result.d[at])
			s.SD = append(s.SD, math.Sqrt(max(result.q.At(at, at), 0)))
		}
		c.r.Points = append(c.r.Points, s)
	}
	for _, i := range result.moved {
		c.r.Points[i].Moved = true
	}
	middle := centre(x, dims)
	told := len(base.c.Nominal) > 0 || len(base.c.Pairs) > 1
	c.r.Moved = result.list(c.ids, func(i int) string {
		if !told {
			return ""
		}
		return corner(x[i*dims], x[i*dims+1], middle)
	})
	c.r.Groups = groups(c.r.Moved)
	c.r.Congruence = &Congruence{Before: chi2Of(result.before), After: chi2Of(result.after)}
	c.r.Working.Add("congruence of all common points", "differences weighted by the covariance of both surveys, frame fitted", result.before.value, "", "DESIGN_SURVEY_AIDS")
	c.r.Working.Add("congruence of those that stand still", "the same without the moved", result.after.value, "", "DESIGN_SURVEY_AIDS")
	c.r.Working.Add("limit of one point", fmt.Sprintf("chi-square point of %g shared over all common points", movedRisk), chiSquare(1-movedRisk/float64(len(c.ids)), dims), "", "DESIGN_SURVEY_AIDS")
	if !result.agreeing {
		c.r.Notes = append(c.r.Notes, "The points taken to stand still differ by more than the readings' doubt: much of the body has moved, or the doubt entered is too small.")
	}
}

// tell says what moved between and what still is out.
func (c *change) tell(obstacle string) {
	c.stillOut()
	between := "nothing is seen to have moved between the two surveys"
	switch {
	case obstacle != "":
		between = "what moved between the two surveys cannot be told: " + obstacle
	case len(c.r.Moved) > 0 && c.r.Moved[0].Where == "":
		between = "moved between the two surveys: " + names(ofMoved(c.r.Moved))
	case len(c.r.Moved) > 0:
		between = "between the two surveys: " + strings.TrimSuffix(strings.Join(c.r.Groups, " "), ".")
	}
	c.r.Verdict, c.r.Why = c.second.r.Verdict, "now: "+c.second.r.Why+". Then, "+between
	for _, part := range []*examination{c.first, c.second} {
		if !part.a.fits() {
			c.r.Notes = append(c.r.Notes, "The readings of one of the two surveys contradict one another: see it first.")
			break
		}
	}
	c.r.Points, c.r.Moved, c.r.Groups = orEmpty(c.r.Points), orEmpty(c.r.Moved), orEmpty(c.r.Groups)
	c.r.Notes, c.r.StillOut = orEmpty(c.r.Notes), orEmpty(c.r.StillOut)
}

func (c *change) stillOut() {
	was := map[string][]float64{}
	if c.first.r.Against == c.second.r.Against {
		for _, p := range c.first.r.Compared {
			was[p.ID] = p.D
		}
	}
	for _, p := range c.second.r.Compared {
		if p.Verdict != Pass {
			c.r.StillOut = append(c.r.StillOut, StillOut{ID: p.ID, BeforeMm: orEmpty(was[p.ID]), AfterMm: p.D, SDMm: p.SD, Verdict: p.Verdict})
		}
	}
}
