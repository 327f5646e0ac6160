package survey

import (
	"fmt"
	"math"
	"slices"
)

// Examine works a survey out. Errors are of type *[InputError].
func Examine(c Case) (Result, error) {
	e, err := examined(c)
	if err != nil {
		return Result{}, err
	}
	return e.r, nil
}

func examined(c Case) (*examination, error) {
	c = c.withDefaults()
	n := number(c.Distances)
	pairs, missing := c.measuredPairs(n)
	c.Pairs = pairs
	if err := sound(c, n); err != nil {
		return nil, err
	}
	e := &examination{c: c, n: n, r: Result{ToleranceMm: c.ToleranceMm, Against: AgainstNothing}}
	if len(missing) > 0 {
		e.note("Not measured, so their pairs are left out: " + names(missing) + ".")
	}
	if err := e.adjust(); err != nil {
		return nil, err
	}
	e.compare()
	e.tell()
	return e, nil
}

// examination is a survey on its way to its result.
type examination struct {
	c    Case
	n    numbering
	a    *adjustment
	open []doubtful
	r    Result

	frame    motion
	ids      []string // of what was compared
	result   comparison
	done     bool    // something was compared
	hopeless bool    // no shape was found that most readings fit
	either   []int   // places that moved, or one reading is wrong
	scatter  float64 // of the readings against what was entered, where they are judged with that; else 0
	loosely  []int   // points that came out off their nominal place, which the readings allow
	twins    []int   // points that stand as well on the other side of their neighbours' plane
}

// network lists the readings in dims dimensions.
func (e *examination) network(dims int) *network {
	net := &network{ids: e.n.ids, dims: dims}
	for _, d := range e.c.Distances {
		net.readings = append(net.readings, reading{kind: distance, from: e.n.of[d.From], to: e.n.of[d.To], mm: d.Mm, sd: d.SDMm, row: d.Row})
	}
	if dims == 3 {
		for _, h := range e.c.Heights {
			net.readings = append(net.readings, reading{kind: height, from: e.n.of[h.Point], to: -1, mm: h.Mm, sd: h.SDMm, row: h.Row})
		}
		for _, l := range e.c.Levels {
			net.readings = append(net.readings, reading{kind: level, from: e.n.of[l.From], to: e.n.of[l.To], mm: l.Mm, sd: l.SDMm, row: l.Row})
		}
	}
	return net
}

// A flat list of nominal points says nothing about heights.
const flatMm = 1.0

// lineShare is the second spread against the first, squared, under which all
// points lie in one line.
const lineShare = 1e-4

func (e *examination) adjust() error {
	_, values := e.network(2).measured(nil).filled().scaled(2)
	if k := len(values); k < 2 || values[k-2] < lineShare*values[k-1] {
		return mistake(InDistances, 0, "all points lie in one line", "points on both sides of the car: a line fixes no shape")
	}
	switch {
	case len(e.c.Heights)+len(e.c.Levels) > 0, len(e.c.Nominal) > 0 && !e.flatNominal():
		return e.in(3)
	case len(e.c.Nominal) > 0:
		e.note("The nominal points lie in one plane and no heights were read: worked out in plan, without z.")
		return e.in(2)
	}
	return e.planOrSpace()
}

func (e *examination) note(text string) { e.r.Notes = append(e.r.Notes, text) }

func (e *examination) flatNominal() bool {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range e.c.Nominal {
		low, high = min(low, p.Z), max(high, p.Z)
	}
	return high-low < flatMm
}

// in adjusts in dims dimensions and takes wrong readings out.
func (e *examination) in(dims int) error {
	net := e.network(dims)
	a, err := e.shape(net)
	if err != nil {
		return fmt.Errorf("the network cannot be adjusted: %w", err)
	}
	e.a, e.open, e.hopeless = a, nil, net.hopeless(a.x)
	if e.hopeless {
		return nil
	}
	if e.a, e.open, err = a.snoop(); err == nil {
		err = e.doubted(a)
	}
	if err != nil {
		return fmt.Errorf("the network cannot be adjusted: %w", err)
	}
	return nil
}

// doubted looks at what was taken out of a shape that does not fit even so.
func (e *examination) doubted(first *adjustment) error {
	if e.unsure() {
		return e.withdraw(first)
	}
	return e.byTheirScatter(first)
}

// unsure reports that readings were taken out of a shape found by distances alone
// that does not fit even so: it may be the wrong shape and they may be sound.
func (e *examination) unsure() bool {
	net := e.a.net
	return net.dims == 3 && !net.hasHeights() && len(e.c.Nominal) == 0 && !e.a.fits() && net.used() < len(net.readings)
}

// withdraw takes all readings back.
func (e *examination) withdraw(first *adjustment) (err error) {
	for k := range first.net.readings {
		r := &first.net.readings[k]
		r.out, r.aside = false, 0
	}
	e.open, e.hopeless = nil, true
	e.a, err = first.net.at(first.x, first.net.squares(first.x))
	return err
}

// shape adjusts all readings; one that was found from the distances and is hopeless
// is not worth the last millimetre.
func (e *examination) shape(net *network) (*adjustment, error) {
	start := e.start(net)
	if len(e.c.Nominal) == 0 && net.hopeless(start) {
		return net.at(start, net.squares(start))
	}
	return net.adjust(start)
}

func (e *examination) start(net *network) []float64 {
	spare := max(net.used()-net.size()+3, 1)
	enough := chiSquare(1-fitRisk/2, spare)
	if len(e.c.Nominal) == 0 {
		return net.fromDistances(enough)
	}
	ref := e.c.reference(e.n, net.dims)
	at := map[int][]float64{}
	for k, i := range ref.index {
		at[i] = ref.at[k*net.dims : (k+1)*net.dims]
	}
	x := net.fromNominal(at)
	if net.dims < 3 || !net.hasHeights() {
		return x
	}
	near := make([]float64, len(net.ids))
	for i := range near {
		near[i] = x[3*i+2]
	}
	for i, z := range net.givenHeights(near) {
		x[3*i+2] = z
	}
	return x
}

// compare sets the points against nominal ones, else against their mirror.
func (e *examination) compare() {
	dims := e.a.net.dims
	t := e.c.twins(e.n)
	e.frame = motion{}
	if len(e.c.Nominal) > 0 {
		ref := e.c.reference(e.n, dims)
		result, ok := ref.compare(e.a)
		e.frame = result.frame
		if ok {
			e.r.Against, e.result, e.done = AgainstNominal, result, true
			for _, i := range ref.index {
				e.ids = append(e.ids, e.n.ids[i])
			}
			e.keepCredible(ref)
			e.set(e.feigned(func(i int) []int { return ref.index[i : i+1] }, func(a *adjustment) *field {
				f, _ := ref.field(a, e.frame)
				return f
			}))
			f, _ := ref.field(e.a, e.frame)
			e.setAmbiguous(f)
			c := centre(ref.at, dims)
			e.r.Moved = e.result.list(e.ids, func(i int) string { return corner(ref.at[i*dims], ref.at[i*dims+1], c) })
			e.r.Groups = groups(e.r.Moved)
		}
	} else {
		e.frame = e.a.ownFrame(t, e.floor())
		if !e.hopeless {
			e.twins = e.a.undecided(e.c.ToleranceMm)
		}
		e.ownFrameNotes(t)
	}
	e.a.x, e.a.q = e.frame.apply(e.a.x), e.frame.covariance(e.a.q)
	if !e.done && len(t.left) >= 3 {
		e.mirror(t)
	}
	if e.done {
		e.r.Compared = e.result.judge(e.ids, e.c.ToleranceMm, e.unchecked(), e.uncertain())
		e.r.Congruence = &Congruence{Before: chi2Of(e.result.before), After: chi2Of(e.result.after)}
	}
}

// leastChecked is the redundancy under which an error of a height hardly shows.
const leastChecked = 0.1 // ref: DESIGN_SURVEY

// unchecked tells of each compared place whether its height rests on a single
// reading that nothing checks, or on none.
func (e *examination) unchecked() []bool {
	alone := make([]bool, len(e.n.ids))
	if e.a.net.dims == 3 {
		if !e.a.net.hasHeights() && e.folds() {
			for i := range alone {
				alone[i] = true
			}
		}
		for k, r := range e.a.net.readings {
			if r.kind == distance || r.out || e.a.r[k] >= leastChecked {
				continue
			}
			for i, rise := range e.a.lifts(r) {
				alone[i] = alone[i] || math.Abs(rise) > 0.5
			}
		}
	}
	out := make([]bool, len(e.ids))
	for k, id := range e.ids {
		if e.r.Against == AgainstMirror {
			p := e.c.Pairs[k]
			out[k] = alone[e.n.of[p.Left]] || alone[e.n.of[p.Right]]
			continue
		}
		out[k] = alone[e.n.of[id]]
	}
	return out
}

// uncertain tells of each compared place whether it may stand elsewhere altogether: on
// the other side of its neighbours, or, by distances alone, where no movement was borne
// out.
func (e *examination) uncertain() []bool {
	elsewhere := map[int]bool{}
	for _, i := range append(append([]int(nil), e.twins...), e.loosely...) {
		elsewhere[i] = true
	}
	alone := e.r.Against == AgainstNominal && e.a.net.dims == 3 && !e.a.net.hasHeights()
	out := make([]bool, len(e.ids))
	for _, k := range e.either {
		out[k] = true
	}
	for k, id := range e.ids {
		if e.r.Against == AgainstMirror {
			p := e.c.Pairs[k]
			out[k] = out[k] || elsewhere[e.n.of[p.Left]] || elsewhere[e.n.of[p.Right]]
			continue
		}
		out[k] = out[k] || elsewhere[e.n.of[id]] || alone && !slices.Contains(e.result.moved, k)
	}
	return out
}

// folds reports that distances alone leave most heights open, so that other
// shapes may fit as well.
func (e *examination) folds() bool {
	return e.a.net.dims == 3 && !e.a.net.hasHeights() && mostInHeight(e.a.weak(e.c.ToleranceMm), len(e.n.ids))
}

func (e *examination) ownFrameNotes(t twins) {
	if len(t.left) < 2 {
		e.note("Without nominal points and pairs nothing says which way is forward and left: the shape may stand mirrored.")
		return
	}
	e.note("Without nominal points the first pair of the list is taken as the front and the last as the rear.")
	if !e.upKnown() {
		e.note("Without heights or marks on the floor nothing says which way is up: the shape may stand mirrored.")
	}
}

// floor are the numbers of the marks on the floor.
func (e *examination) floor() []int {
	var list []int
	for _, id := range e.c.Floor {
		if i, ok := e.n.of[id]; ok {
			list = append(list, i)
		}
	}
	return list
}

// upKnown reports that something says which way is up.
func (e *examination) upKnown() bool {
	return e.a.net.dims < 3 || e.a.net.hasHeights() || len(e.c.Nominal) > 0 || len(e.floor()) > 0
}

func (e *examination) mirror(t twins) {
	dims := e.a.net.dims
	result, ok := t.compare(e.a.x, e.a.q, dims)
	if !ok {
		return
	}
	e.r.Against, e.result, e.done = AgainstMirror, result, true
	for i := range t.left {
		e.ids = append(e.ids, e.n.ids[t.left[i]]+"-"+e.n.ids[t.right[i]])
	}
	e.set(e.feigned(func(i int) []int { return []int{t.left[i], t.right[i]} }, func(a *adjustment) *field {
		f, _ := t.field(a.x, a.q, e.result.plane, dims)
		return f
	}))
	c := centre(e.a.x, dims)
	e.r.Moved = e.result.list(e.ids, func(i int) string {
		end := "rear"
		if e.a.x[t.left[i]*dims] >= c[0] {
			end = "front"
		}
		return end + ", left or right"
	})
	for _, m := range e.r.Moved {
		e.r.Groups = append(e.r.Groups, fmt.Sprintf("Pair %s does not mirror: left against right %s; which side has moved the pairs cannot say.", m.ID, went(m.known(), true, e.upKnown())))
	}
	e.note("Mirror symmetry cannot tell which side has moved, and damage that is alike on both sides does not show.")
}

func chi2Of(a agreement) Chi2 {
	return Chi2{Value: a.value, DoF: a.dof, Low: 0, High: chiSquare(1-movedRisk, a.dof)}
}
