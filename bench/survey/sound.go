package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// numbering gives each point of the distances a number, in order of mention.
type numbering struct {
	ids []string
	of  map[string]int
}

func number(list []Distance) numbering {
	n := numbering{of: map[string]int{}}
	for _, d := range list {
		for _, id := range []string{d.From, d.To} {
			if _, ok := n.of[id]; !ok {
				n.of[id] = len(n.ids)
				n.ids = append(n.ids, id)
			}
		}
	}
	return n
}

// sound looks for what no adjustment can mend.
func sound(c Case, n numbering) error {
	if len(c.Distances) == 0 {
		return mistake(InDistances, 0, "there are no distances", "one line for each distance: from,to,mm")
	}
	if len(n.ids) > MaxPoints || len(c.Distances) > MaxDistances {
		return mistake(InDistances, 0, fmt.Sprintf("%d points and %d distances", len(n.ids), len(c.Distances)), fmt.Sprintf("at most %d points and %d distances", MaxPoints, MaxDistances))
	}
	if !(c.ToleranceMm > 0) || c.ToleranceMm > 1000 {
		return mistake(InTolerance, 0, fmt.Sprintf("a tolerance of %g mm", c.ToleranceMm), "above 0 and at most 1000 mm")
	}
	for _, check := range []func(Case, numbering) error{soundDistances, soundRepeats, soundReach, soundTriangles, soundHeights, soundLevels, soundNominal, soundPairs, soundFloor} {
		if err := check(c, n); err != nil {
			return err
		}
	}
	return nil
}

func soundDistances(c Case, _ numbering) error {
	for _, d := range c.Distances {
		switch {
		case d.From == d.To:
			return mistake(InDistances, d.Row, fmt.Sprintf("%s to itself", d.From), "two different points")
		case !(d.Mm > 0) || d.Mm > longestMm:
			return mistake(InDistances, d.Row, fmt.Sprintf("%s to %s: %g mm", d.From, d.To, d.Mm), fmt.Sprintf("above 0 and at most %g mm", longestMm))
		case !goodSD(d.SDMm):
			return mistake(InDistances, d.Row, fmt.Sprintf("%s to %s: sd %g mm", d.From, d.To, d.SDMm), expectedSD())
		}
	}
	return nil
}

func goodSD(sd float64) bool { return sd >= smallestSDMm && sd <= largestSDMm }

func expectedSD() string {
	return fmt.Sprintf("a standard deviation of %g to %g mm", smallestSDMm, largestSDMm)
}

// RepeatSDs is how many of their standard deviations repeats lie apart at most. Further
// apart they are two different distances, or one misread: no adjustment should choose.
//
// ref: DESIGN_SURVEY
const RepeatSDs = 4.0

func soundRepeats(c Case, n numbering) error {
	first := map[[2]int]Distance{}
	for _, d := range c.Distances {
		key := [2]int{min(n.of[d.From], n.of[d.To]), max(n.of[d.From], n.of[d.To])}
		f, ok := first[key]
		if !ok {
			first[key] = d
			continue
		}
		if limit := RepeatSDs * math.Hypot(f.SDMm, d.SDMm); math.Abs(f.Mm-d.Mm) > limit {
			return mistake(InDistances, d.Row, fmt.Sprintf("%s to %s: %g mm here, %g mm %s", d.From, d.To, d.Mm, f.Mm, onLine(f.Row)),
				fmt.Sprintf("readings of one distance within %.3g mm; measure it again", limit))
		}
	}
	return nil
}

// onLine is where the other reading stands; what was entered by hand has no line.
func onLine(row int) string {
	if row == 0 {
		return "before"
	}
	return fmt.Sprintf("on line %d", row)
}

// soundReach asks for three distances at each point, and one network.
func soundReach(c Case, n numbering) error {
	to := make([]map[int]bool, len(n.ids))
	row := make([]int, len(n.ids))
	for k := len(c.Distances) - 1; k >= 0; k-- {
		d := c.Distances[k]
		i, j := n.of[d.From], n.of[d.To]
		for _, p := range [][2]int{{i, j}, {j, i}} {
			if to[p[0]] == nil {
				to[p[0]] = map[int]bool{}
			}
			to[p[0]][p[1]] = true
			row[p[0]] = d.Row
		}
	}
	for i, id := range n.ids {
		if len(to[i]) < 3 {
			return mistake(InDistances, row[i], fmt.Sprintf("%s has distances to %s only", id, numberOfPoints(len(to[i]))), "distances to three points or more; a name may be mistyped")
		}
	}
	seen := map[int]bool{0: true}
	queue := []int{0}
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		for j := range to[i] {
			if !seen[j] {
				seen[j] = true
				queue = append(queue, j)
			}
		}
	}
	for i, id := range n.ids {
		if !seen[i] {
			return mistake(InDistances, row[i], fmt.Sprintf("no chain of distances leads from %s to %s", n.ids[0], id), "one network that hangs together")
		}
	}
	return nil
}

func numberOfPoints(n int) string {
	if n == 1 {
		return "1 point"
	}
	return fmt.Sprintf("%d points", n)
}

// A detour shorter than the straight line by more than this is no matter of
// reading doubt; less is left to the search for wrong readings, which can tell
// which of the three it is.
const (
	triangleSDs = 5.0  // ref: DESIGN_SURVEY
	triangleMm  = 20.0 // ref: DESIGN_SURVEY
)

func soundTriangles(c Case, n numbering) error {
	at := make([]map[int]Distance, len(n.ids))
	for i := range at {
		at[i] = map[int]Distance{}
	}
	for _, d := range c.Distances {
		i, j := n.of[d.From], n.of[d.To]
		at[i][j], at[j][i] = d, d
	}
	for _, d := range c.Distances {
		i, j := n.of[d.From], n.of[d.To]
		for k := range n.ids {
			a, ok := at[i][k]
			b, also := at[j][k]
			if !ok || !also {
				continue
			}
			slack := max(triangleMm, triangleSDs*math.Sqrt(d.SDMm*d.SDMm+a.SDMm*a.SDMm+b.SDMm*b.SDMm))
			if d.Mm > a.Mm+b.Mm+slack {
				return mistake(InDistances, d.Row, fmt.Sprintf("%s to %s is %g mm, longer than by way of %s: %g + %g mm (lines %d and %d)", d.From, d.To, d.Mm, n.ids[k], a.Mm, b.Mm, a.Row, b.Row),
					"no side of a triangle longer than the other two together; one of the three is misread")
			}
		}
	}
	return nil
}

func soundHeights(c Case, n numbering) error {
	first := map[string]Height{}
	for _, h := range c.Heights {
		switch f, again := first[h.Point]; {
		case !known(n, h.Point):
			return unknown(InHeights, h.Row, h.Point, n)
		case math.Abs(h.Mm) > longestMm:
			return mistake(InHeights, h.Row, fmt.Sprintf("%s: %g mm", h.Point, h.Mm), fmt.Sprintf("at most %g mm", longestMm))
		case !goodSD(h.SDMm):
			return mistake(InHeights, h.Row, fmt.Sprintf("%s: sd %g mm", h.Point, h.SDMm), expectedSD())
		case again && math.Abs(f.Mm-h.Mm) > RepeatSDs*math.Hypot(f.SDMm, h.SDMm):
			return mistake(InHeights, h.Row, fmt.Sprintf("%s: %g mm here, %g mm %s", h.Point, h.Mm, f.Mm, onLine(f.Row)), "readings of one height that agree; measure it again")
		case !again:
			first[h.Point] = h
		}
	}
	return nil
}

func soundLevels(c Case, n numbering) error {
	first := map[[2]string]Level{}
	for _, l := range c.Levels {
		for _, id := range []string{l.From, l.To} {
			if !known(n, id) {
				return unknown(InLevels, l.Row, id, n)
			}
		}
		what := fmt.Sprintf("%s over %s", l.To, l.From)
		switch {
		case l.From == l.To:
			return mistake(InLevels, l.Row, fmt.Sprintf("%s to itself", l.From), "two different points")
		case math.Abs(l.Mm) > longestMm:
			return mistake(InLevels, l.Row, fmt.Sprintf("%s: %g mm", what, l.Mm), fmt.Sprintf("at most %g mm", longestMm))
		case !goodSD(l.SDMm):
			return mistake(InLevels, l.Row, fmt.Sprintf("%s: sd %g mm", what, l.SDMm), expectedSD())
		}
		key, mm := [2]string{l.From, l.To}, l.Mm
		if l.From > l.To {
			key, mm = [2]string{l.To, l.From}, -l.Mm
		}
		f, again := first[key]
		if !again {
			first[key] = Level{Mm: mm, SDMm: l.SDMm, Row: l.Row}
			continue
		}
		if limit := RepeatSDs * math.Hypot(f.SDMm, l.SDMm); math.Abs(f.Mm-mm) > limit {
			before := f.Mm
			if key[0] != l.From {
				before = -f.Mm
			}
			return mistake(InLevels, l.Row, fmt.Sprintf("%s: %g mm here, %g mm %s", what, l.Mm, before, onLine(f.Row)),
				fmt.Sprintf("readings of one difference within %.3g mm; mind which of the two is the higher, then level it again", limit))
		}
	}
	return nil
}

func known(n numbering, id string) bool {
	_, ok := n.of[id]
	return ok
}

func unknown(in Input, row int, id string, n numbering) error {
	return unknownPoint(in, row, id, n, "is in no distance")
}

func unknownPoint(in Input, row int, id string, n numbering, why string) error {
	names := slices.Clone(n.ids)
	slices.Sort(names)
	if len(names) > 12 {
		names = append(names[:12], "...")
	}
	return mistake(in, row, id+" "+why, "one of "+strings.Join(names, ", "))
}

func soundNominal(c Case, n numbering) error {
	first := map[string]int{}
	measured := 0
	for _, p := range c.Nominal {
		if line, again := first[p.Point]; again {
			return mistake(InNominal, p.Row, fmt.Sprintf("%s stands on line %d already", p.Point, line), "each point once")
		}
		first[p.Point] = p.Row
		if !goodSD(p.SDMm) {
			return mistake(InNominal, p.Row, fmt.Sprintf("%s: sd %g mm", p.Point, p.SDMm), expectedSD())
		}
		if max(math.Abs(p.X), math.Abs(p.Y), math.Abs(p.Z)) > longestMm {
			return mistake(InNominal, p.Row, fmt.Sprintf("%s lies beyond %g mm", p.Point, longestMm), "coordinates in mm")
		}
		if known(n, p.Point) {
			measured++
		}
	}
	if len(c.Nominal) > 0 && measured < 4 {
		return mistake(InNominal, 0, fmt.Sprintf("%s of the list measured", numberOfPoints(measured)), "four or more points that are in the distances too, named alike")
	}
	return soundPlaces(c, n)
}

// nearestMm is the least that two nominal points lie apart.
const nearestMm = 1.0

// soundPlaces looks at the places of the measured nominal points: two at one place, or
// all in one line, say nothing of the shape.
func soundPlaces(c Case, n numbering) error {
	var used []Nominal
	var at []float64
	for _, p := range c.Nominal {
		if known(n, p.Point) {
			used, at = append(used, p), append(at, p.X, p.Y, p.Z)
		}
	}
	for i := range used {
		for j := range i {
			if rms(at[3*i:3*i+3], at[3*j:3*j+3], 3) < nearestMm {
				return mistake(InNominal, used[i].Row, fmt.Sprintf("%s lies at the place of %s", used[i].Point, used[j].Point), fmt.Sprintf("points at least %g mm apart", nearestMm))
			}
		}
	}
	if len(used) > 0 && inOneLine(at) {
		return mistake(InNominal, 0, "all nominal points that were measured lie in one line", "points on both sides of the car: a line fixes no shape")
	}
	return nil
}

// inOneLine reports that places in space hardly spread but along one direction.
func inOneLine(at []float64) bool {
	values, _ := spreads(at)
	return values == nil || values[1] < lineShare*values[2]
}

func soundFloor(c Case, n numbering) error {
	for _, id := range c.Floor {
		if !known(n, id) {
			return unknown(InDistances, 0, id, n)
		}
	}
	return nil
}

// measuredPairs leaves out pairs of which a point that ought to be somewhere was not
// measured, and names these points.
func (c Case) measuredPairs(n numbering) (kept []Pair, missing []string) {
	ought := map[string]bool{}
	for _, p := range c.Nominal {
		ought[p.Point] = true
	}
	for _, p := range c.Pairs {
		whole, placed := true, true
		var lacks []string
		for _, id := range []string{p.Left, p.Right} {
			if !known(n, id) {
				whole, placed, lacks = false, placed && ought[id], append(lacks, id)
			}
		}
		if whole || !placed {
			kept = append(kept, p) // a name found nowhere is refused
			continue
		}
		missing = append(missing, lacks...)
	}
	return kept, missing
}

func soundPairs(c Case, n numbering) error {
	first := map[string]int{}
	for _, p := range c.Pairs {
		if p.Left == p.Right {
			return mistake(InPairs, p.Row, fmt.Sprintf("%s mirrors itself", p.Left), "two different points")
		}
		for _, id := range []string{p.Left, p.Right} {
			if !known(n, id) {
				return unknown(InPairs, p.Row, id, n)
			}
			if line, again := first[id]; again {
				return mistake(InPairs, p.Row, fmt.Sprintf("%s is in the pair of line %d already", id, line), "each point in one pair")
			}
			first[id] = p.Row
		}
	}
	if len(c.Pairs) > 0 && len(c.Nominal) == 0 && len(c.Pairs) < 3 {
		return mistake(InPairs, 0, fmt.Sprintf("%d of at least 3 pairs", len(c.Pairs)), "three pairs or more: two always have a plane between them")
	}
	return nil
}
