package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// HeightPlan is how heights will be read.
type HeightPlan string

// The plans for heights.
const (
	HeightsTwice HeightPlan = ""
	HeightsOnce  HeightPlan = "once"
	HeightsNone  HeightPlan = "none" // marks on the floor carry them, or there are none
)

// times is how often each height is read.
func (h HeightPlan) times() int {
	return map[HeightPlan]int{HeightsTwice: 2, HeightsOnce: 1}[h]
}

// Sketched is about where a point is: x forward, y left, z up, in mm.
type Sketched struct {
	ID      string
	X, Y, Z float64
	Floor   bool // a mark on the floor
}

// Sketch is what is known before anything is measured.
type Sketch struct {
	Points     []Sketched
	ReachMm    float64 // of the tape or trammel; 0: 3000
	Redundancy float64 // mean share of an error of a reading that the others show; 0: 0.45
	Heights    HeightPlan
}

// What is taken where a sketch says nothing, and its limits.
const (
	defaultReachMm    = 3000.0 // ref: DESIGN_SURVEY_AIDS
	defaultRedundancy = 0.45   // ref: DESIGN_SURVEY_AIDS
	shortestMm        = 50.0   // ref: DESIGN_SURVEY_AIDS
	// MaxSketched is how many points a sketch may have.
	MaxSketched = 100
)

func (s Sketch) withDefaults() Sketch {
	s.ReachMm, s.Redundancy = orElse(s.ReachMm, defaultReachMm), orElse(s.Redundancy, defaultRedundancy)
	return s
}

func (s Sketch) sound() error {
	switch {
	case len(s.Points) < 4:
		return mistake(InSketch, 0, numberOfPoints(len(s.Points)), "four points or more")
	case len(s.Points) > MaxSketched:
		return mistake(InSketch, 0, numberOfPoints(len(s.Points)), fmt.Sprintf("at most %d points", MaxSketched))
	case !(s.ReachMm > shortestMm) || s.ReachMm > longestMm:
		return mistake(InSketch, 0, fmt.Sprintf("a reach of %g mm", s.ReachMm), fmt.Sprintf("above %g and at most %g mm", shortestMm, longestMm))
	case !(s.Redundancy > 0) || s.Redundancy > 0.8:
		return mistake(InSketch, 0, fmt.Sprintf("a redundancy of %g", s.Redundancy), "above 0 and at most 0.8")
	case s.Heights != HeightsTwice && s.Heights != HeightsOnce && s.Heights != HeightsNone:
		return mistake(InSketch, 0, fmt.Sprintf("heights %q", s.Heights), `"", "once" or "none"`)
	}
	first := map[string]int{}
	for k, p := range s.Points {
		at, again := first[p.ID]
		switch {
		case p.ID == "":
			return mistake(InSketch, k+1, "a point without a name", "a name for each point")
		case again:
			return mistake(InSketch, k+1, fmt.Sprintf("%s is point %d already", p.ID, at), "each point once")
		case !(max(math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z)) <= longestMm):
			return mistake(InSketch, k+1, fmt.Sprintf("%s lies beyond %g mm", p.ID, longestMm), "coordinates in mm")
		}
		first[p.ID] = k + 1
	}
	return nil
}

// dims is 3 where anything will tell heights.
func (s Sketch) dims(c Case) int {
	if s.Heights != HeightsNone || len(c.Heights)+len(c.Levels) > 0 {
		return 3
	}
	for _, p := range s.Points {
		if p.Floor {
			return 3
		}
	}
	return 2
}

// design is the points before anything is read.
func (s Sketch) design(dims int) *design {
	var ids []string
	var x []float64
	for _, p := range s.Points {
		ids = append(ids, p.ID)
		x = append(x, []float64{p.X, p.Y, p.Z}[:dims]...)
	}
	return newDesign(ids, x, dims)
}

// The body stands between a point this far above the lowest and those below, and
// between such points further apart than a bay.
const (
	upperMm = 350.0  // ref: DESIGN_SURVEY_AIDS
	bayMm   = 1200.0 // ref: DESIGN_SURVEY_AIDS
)

// candidates are the lines that a tape can take.
func (s Sketch) candidates() []reading {
	lowest := math.Inf(1)
	for _, p := range s.Points {
		if !p.Floor {
			lowest = min(lowest, p.Z)
		}
	}
	var list []reading
	for i, p := range s.Points {
		for j, q := range s.Points[:i] {
			mm := math.Hypot(math.Hypot(p.X-q.X, p.Y-q.Y), p.Z-q.Z)
			if mm >= shortestMm && mm <= s.ReachMm && unobstructed(p, q, lowest) {
				list = append(list, reading{kind: distance, from: j, to: i, mm: mm, sd: UsualTapeSDMm})
			}
		}
	}
	return list
}

// unobstructed reports that no body stands between two points, as far as a sketch tells:
// below the floor of the car all is open; up to or between the upper points a
// line stays at one end of the car, and on one side unless both are upper.
//
// ref: DESIGN_SURVEY_AIDS
func unobstructed(p, q Sketched, lowest float64) bool {
	upper := func(s Sketched) bool { return !s.Floor && s.Z > lowest+upperMm }
	if !upper(p) && !upper(q) {
		return true
	}
	if math.Abs(p.X-q.X) > bayMm {
		return false
	}
	return upper(p) && upper(q) || p.Y*q.Y >= 0
}

// walk is the order of a walk round the car: down the left side, up the right.
func (s Sketch) walk() []int {
	order := make([]int, len(s.Points))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		p, q := s.Points[a], s.Points[b]
		if left, right := p.Y >= 0, q.Y >= 0; left != right {
			if left {
				return -1
			}
			return 1
		} else if left {
			return cmp.Compare(q.X, p.X)
		}
		return cmp.Compare(p.X, q.X)
	})
	return order
}
