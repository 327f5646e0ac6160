package survey

import (
	"fmt"
	"math"
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
	of := map[string]int{}
	for i, id := range d.net.ids {
		of[id] = i
	}
	n := numbering{ids: d.net.ids, of: of}
	for _, l := range c.Distances {
		for _, id := range []string{l.From, l.To} {
			if !known(n, id) {
				return unknownPoint(InDistances, l.Row, id, n, "is not among the points")
			}
		}
		if l.From == l.To {
			return mistake(InDistances, l.Row, fmt.Sprintf("%s to itself", l.From), "two different points")
		}
		if !goodSD(l.SDMm) {
			return mistake(InDistances, l.Row, fmt.Sprintf("%s to %s: sd %g mm", l.From, l.To, l.SDMm), expectedSD())
		}
		d.add(reading{kind: distance, from: of[l.From], to: of[l.To], sd: l.SDMm})
	}
	for _, h := range c.Heights {
		if !known(n, h.Point) {
			return unknownPoint(InHeights, h.Row, h.Point, n, "is not among the points")
		}
		if !goodSD(h.SDMm) {
			return mistake(InHeights, h.Row, fmt.Sprintf("%s: sd %g mm", h.Point, h.SDMm), expectedSD())
		}
		d.add(reading{kind: height, from: of[h.Point], to: -1, sd: h.SDMm})
	}
	for _, l := range c.Levels {
		for _, id := range []string{l.From, l.To} {
			if !known(n, id) {
				return unknownPoint(InLevels, l.Row, id, n, "is not among the points")
			}
		}
		if l.From == l.To {
			return mistake(InLevels, l.Row, fmt.Sprintf("%s to itself", l.From), "two different points")
		}
		if !goodSD(l.SDMm) {
			return mistake(InLevels, l.Row, fmt.Sprintf("%s over %s: sd %g mm", l.To, l.From, l.SDMm), expectedSD())
		}
		d.add(reading{kind: level, from: of[l.From], to: of[l.To], sd: l.SDMm})
	}
	return nil
}

// next chooses further readings one after another.
func (d *design) next(s Sketch) []Further {
	list := []Further{}
	heights := make([]int, len(d.net.ids))
	for _, r := range d.net.readings {
		if r.kind == height {
			heights[r.from]++
		}
	}
	wanted := map[HeightPlan]int{HeightsTwice: 2, HeightsOnce: 1}[s.Heights]
	lines := s.candidates()
	for range nextReadings {
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
		for i := range d.net.ids {
			if heights[i] < wanted && !s.Points[i].Floor {
				try(reading{kind: height, from: i, to: -1, sd: defaultHeightSDMm})
			}
		}
		if most == 0 {
			break
		}
		before := d.whole(best)
		d.add(best)
		f := Further{Kind: best.kind.String(), From: d.net.ids[best.from], Mm: best.mm}
		if best.kind == height {
			heights[best.from]++
		} else {
			f.To = d.net.ids[best.to]
		}
		for k, after := range d.whole(best) {
			f.LowersMm = max(f.LowersMm, before[k]-after)
		}
		list = append(list, f)
	}
	return list
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
