package survey

import (
	"fmt"
	"math"
	"strings"
)

// State is how far a survey has come.
type State struct {
	Points []PointDoubt `json:"points"`
	Fixed  int          `json:"fixed"` // points of the car that are
	Next   []Further    `json:"next"`
	Done   bool         `json:"done"`
}

// Further is a reading worth making, the best first.
type Further struct {
	Kind     string  `json:"kind"`
	From     string  `json:"from"`
	To       string  `json:"to"`
	Mm       float64 `json:"mm"`        // about, of a distance
	LowersMm float64 `json:"lowers_mm"` // by so much the doubt, all directions together, of that end which gains most
}

// nextReadings is how many further readings are proposed.
const nextReadings = 5

// Progress tells how well the readings so far fix the points, and which to make
// next. Only where they go and their doubt count, not what was read, so that
// neither a misread value nor an unfinished list stands in the way. Errors are of
// type *[InputError].
//
// ref: DESIGN_SURVEY_AIDS
func Progress(s Sketch, c Case) (State, error) {
	s, c = s.withDefaults(), c.withDefaults()
	if err := s.sound(); err != nil {
		return State{}, err
	}
	d := s.design(s.dims(c))
	if err := d.take(c); err != nil {
		return State{}, err
	}
	state := State{Points: d.doubts(c.ToleranceMm), Next: []Further{}}
	car := 0
	for i, p := range state.Points {
		if s.Points[i].Floor {
			continue
		}
		car++
		if p.Fixed {
			state.Fixed++
		}
	}
	var mean float64
	for _, r := range d.redundancies() {
		mean += r / float64(len(d.net.readings))
	}
	state.Done = state.Fixed == car && mean >= s.Redundancy-0.01
	state.Next = d.next(s)
	return state, nil
}

// take adds the readings of a case.
func (d *design) take(c Case) error {
	n := numbering{ids: d.net.ids, of: map[string]int{}}
	for i, id := range n.ids {
		n.of[id] = i
	}
	for _, l := range c.Distances {
		if err := n.fresh(InDistances, l.Row, l.SDMm, l.From, l.To); err != nil {
			return err
		}
		d.add(reading{kind: distance, from: n.of[l.From], to: n.of[l.To], sd: l.SDMm})
	}
	for _, h := range c.Heights {
		if err := n.fresh(InHeights, h.Row, h.SDMm, h.Point); err != nil {
			return err
		}
		d.add(reading{kind: height, from: n.of[h.Point], to: -1, sd: h.SDMm})
	}
	for _, l := range c.Levels {
		if err := n.fresh(InLevels, l.Row, l.SDMm, l.From, l.To); err != nil {
			return err
		}
		d.add(reading{kind: level, from: n.of[l.From], to: n.of[l.To], sd: l.SDMm})
	}
	return nil
}

// fresh looks at the points and the doubt of a reading.
func (n numbering) fresh(in Input, row int, sd float64, points ...string) error {
	for _, id := range points {
		if !known(n, id) {
			return unknownPoint(in, row, id, n, "is not among the points")
		}
	}
	switch {
	case len(points) == 2 && points[0] == points[1]:
		return mistake(in, row, fmt.Sprintf("%s to itself", points[0]), "two different points")
	case !goodSD(sd):
		return mistake(in, row, fmt.Sprintf("%s: sd %g mm", strings.Join(points, " to "), sd), expectedSD())
	}
	return nil
}

// next chooses further readings one after another.
func (d *design) next(s Sketch) []Further {
	list := []Further{}
	lines := s.candidates()
	for range nextReadings {
		best, ok := d.bestFurther(s, lines)
		if !ok {
			break
		}
		before := d.whole(best)
		d.add(best)
		f := Further{Kind: best.kind.String(), From: d.net.ids[best.from], Mm: best.mm}
		if best.kind == distance {
			f.To = d.net.ids[best.to]
		}
		for k, after := range d.whole(best) {
			f.LowersMm = max(f.LowersMm, before[k]-after)
		}
		list = append(list, f)
	}
	return list
}

// bestFurther is the line or height not yet read that gains most for its cost.
func (d *design) bestFurther(s Sketch, lines []reading) (reading, bool) {
	best, most := reading{}, 0.0
	try := func(r reading) {
		if g := d.gain(r); g > most {
			best, most = r, g
		}
	}
	for _, r := range lines {
		if !d.lines[r.from][r.to] {
			try(r)
		}
	}
	heights := make([]int, len(d.net.ids))
	for _, r := range d.net.readings {
		if r.kind == height {
			heights[r.from]++
		}
	}
	for i, read := range heights {
		if read < s.Heights.times() && !s.Points[i].Floor {
			try(reading{kind: height, from: i, to: -1, sd: UsualHeightSDMm})
		}
	}
	return best, most > 0
}

// whole is the doubt of each end of a reading, all directions together.
func (d *design) whole(r reading) []float64 {
	dims := d.net.dims
	var list []float64
	for _, i := range []int{r.from, r.to} {
		if i < 0 {
			continue
		}
		var sum float64
		for k := i * dims; k < (i+1)*dims; k++ {
			sum += d.q.At(k, k)
		}
		list = append(list, math.Sqrt(max(sum, 0)))
	}
	return list
}
