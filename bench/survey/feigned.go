package survey

import (
	"cmp"
	"slices"
)

// mostHidden is the redundancy from which on an error of a reading that would feign a
// movement shows by itself.
const mostHidden = 0.4 // ref: DESIGN_SURVEY_AIDS

// feigned is a movement that one wrong reading would look like just as well.
type feigned struct {
	place   int // of those compared
	reading int
}

// feigned looks, for each place that moved, for a single distance at its points whose
// leaving out lets the place agree with those that stand still. Heights are looked at
// elsewhere. In a large network it is not tried.
//
// ref: DESIGN_SURVEY_AIDS
func (e *examination) feigned(points func(place int) []int, build func(*adjustment) *field) []feigned {
	if len(e.n.ids) > largePoints || e.hopeless {
		return nil
	}
	var list []feigned
	single := chiSquare(1-movedRisk/float64(len(e.ids)), e.a.net.dims)
	for _, place := range e.result.moved {
		for _, k := range e.hiding(points(place)) {
			e.a.net.readings[k].out = true
			f := build(e.a.dropped(k))
			e.a.net.readings[k].out = false
			without, ok := f.agree(e.result.still)
			with, also := f.agree(append(slices.Clone(e.result.still), place))
			if ok && also && with.value-without.value <= single {
				list = append(list, feigned{place, k})
				break
			}
		}
	}
	return list
}

// hiding are the distances at the points whose errors would hardly show.
func (e *examination) hiding(points []int) []int {
	var list []int
	for k, r := range e.a.net.readings {
		at := slices.Contains(points, r.from) || slices.Contains(points, r.to)
		if r.kind == distance && !r.out && at && e.a.r[k] < mostHidden && e.a.r[k] >= leastRedundancy {
			list = append(list, k)
		}
	}
	slices.SortFunc(list, func(a, b int) int { return cmp.Compare(e.a.r[a], e.a.r[b]) })
	return list
}

// set leaves out movements that one wrong reading would feign, and says so.
func (e *examination) set(apart []feigned) {
	var moved []int
	var chance []float64
	for k, i := range e.result.moved {
		at := slices.IndexFunc(apart, func(f feigned) bool { return f.place == i })
		if at < 0 {
			moved, chance = append(moved, i), append(chance, e.result.chance[k])
			continue
		}
		e.either = append(e.either, i)
		e.note("Either " + e.ids[i] + " has moved or " + ReadingName(e.name(e.a.net.readings[apart[at].reading])) + " is wrong, and nothing tells which: measure it again, and one more line to the point.")
	}
	e.result.moved, e.result.chance = moved, chance
}

// ambiguous are the places that moved by distances alone where another place would
// explain it nearly as well: the points about it can as well have gone the other way.
//
// ref: DESIGN_SURVEY_AIDS
func (e *examination) ambiguous(f *field) map[int]int {
	list := map[int]int{}
	if e.a.net.dims < 3 || e.a.net.hasHeights() || len(e.n.ids) > largePoints {
		return list
	}
	for _, place := range e.result.moved {
		with := append(slices.Clone(e.result.still), place)
		for k, other := range e.result.still {
			now, ok := f.agree(slices.Delete(slices.Clone(with), k, k+1))
			if ok && now.value-e.result.after.value <= 2*clearer {
				list[place] = other
				break
			}
		}
	}
	return list
}

// setAmbiguous leaves out movements that another place explains too.
func (e *examination) setAmbiguous(f *field) {
	other := e.ambiguous(f)
	var moved []int
	var chance []float64
	for k, i := range e.result.moved {
		j, ok := other[i]
		if !ok {
			moved, chance = append(moved, i), append(chance, e.result.chance[k])
			continue
		}
		e.either = append(e.either, i, j)
		e.note("Either " + e.ids[i] + " or " + e.ids[j] + " has moved, and distances alone do not tell which: read the heights of both and of the points about them.")
	}
	e.result.moved, e.result.chance = moved, chance
}
