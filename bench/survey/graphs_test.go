package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// drawing is what a simulated survey of an invented body is made of. Its lines are
// drawn at random among all that a tape of 3 m reaches, at least four at each point.
type drawing struct {
	points, lines int
	heights       int     // readings of each height
	wrong         int     // lines wrong by 10 mm
	moveMm        float64 // of one point
	scatterMm     float64 // of the build
	sdMm          float64 // what lines really scatter by; 1 is entered
	flat          bool
	nominal       bool
	pairs         bool
}

// invented is a simulated survey with what it was drawn from.
type invented struct {
	drawn
	place map[string][]float64
}

func (d drawing) draw(seed uint64) invented {
	chance := rand.New(rand.NewPCG(seed, 1009))
	s := invented{place: map[string][]float64{}}
	var ids []string
	moved := chance.IntN(d.points)
	for i := range d.points / 2 {
		x, y, z := 2000-4000*float64(i)/float64(d.points/2-1)+100*chance.NormFloat64(), 450+120*chance.NormFloat64(), 250+80*chance.NormFloat64()
		if d.flat {
			z = 0
		}
		left, right := fmt.Sprintf("L%02d", i), fmt.Sprintf("R%02d", i)
		s.c.Pairs = append(s.c.Pairs, Pair{Left: left, Right: right})
		for side, id := range []string{left, right} {
			p := []float64{x, y * float64(1-2*side), z}
			s.c.Nominal = append(s.c.Nominal, Nominal{Point: id, X: p[0], Y: p[1], Z: p[2]})
			for k := range p {
				if k < 2 || !d.flat {
					p[k] += d.scatterMm * chance.NormFloat64()
				}
			}
			if d.moveMm > 0 && moved == len(ids) {
				s.moved = id
				v := []float64{chance.NormFloat64(), chance.NormFloat64(), chance.NormFloat64()}
				for k := range p {
					p[k] += d.moveMm * v[k] / math.Sqrt(dot(v, v))
				}
			}
			s.place[id] = p
			ids = append(ids, id)
		}
	}
	s.c.Distances = d.graph(ids, s.place, chance)
	for _, k := range chance.Perm(len(s.c.Distances))[:d.wrong] {
		s.c.Distances[k].Mm += 10 * float64(2*chance.IntN(2)-1)
		s.wrong = append(s.wrong, s.c.Distances[k].From+"-"+s.c.Distances[k].To)
	}
	for _, id := range ids {
		for range d.heights {
			s.c.Heights = append(s.c.Heights, Height{Point: id, Mm: s.place[id][2] + 400 + 1.5*chance.NormFloat64()})
		}
	}
	if !d.nominal {
		s.c.Nominal = nil
	}
	if !d.pairs {
		s.c.Pairs = nil
	}
	return s
}

// graph draws lines until each point has four.
func (d drawing) graph(ids []string, place map[string][]float64, chance *rand.Rand) []Distance {
	var all []Distance
	for i, a := range ids {
		for _, b := range ids[:i] {
			if mm := rms(place[a], place[b], 3); mm < 3000 {
				all = append(all, Distance{From: b, To: a, Mm: mm})
			}
		}
	}
	for {
		chance.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		list := append([]Distance(nil), all[:min(d.lines, len(all))]...)
		count := map[string]int{}
		for _, l := range list {
			count[l.From]++
			count[l.To]++
		}
		enough := len(count) == len(ids)
		for _, n := range count {
			enough = enough && n >= 4
		}
		if !enough {
			continue
		}
		for k := range list {
			list[k].Mm += orElse(d.sdMm, 1) * chance.NormFloat64()
		}
		return list
	}
}

// off is by how much the worst point of a result lies off its true place beyond five
// of its own doubts, once all are laid on; a mirror image counts as the same shape where nothing says which.
func (s invented) off(r Result) float64 {
	var x, want []float64
	dims := r.Dimensions
	for _, p := range r.Points {
		at := []float64{p.X, p.Y}
		if dims == 3 {
			at = append(at, *p.Z)
		}
		x, want = append(x, at...), append(want, s.place[p.ID][:dims]...)
	}
	least := math.Inf(1)
	for _, sign := range []float64{1, -1} {
		image := append([]float64(nil), x...)
		for i := 0; i < len(image); i += dims {
			image[i] *= sign
		}
		laid, worst := robust(image, want, dims).apply(image), 0.0
		for i := 0; i < len(laid); i += dims {
			doubt := math.Hypot(r.Points[i/dims].SX, r.Points[i/dims].SY)
			worst = max(worst, rms(laid[i:i+dims], want[i:i+dims], dims)-5*doubt)
		}
		least = min(least, worst)
	}
	return least
}

// Heights do not say on which side of its neighbours a point stands in plan.
func TestRandomLinesWithHeightsGiveTheShape(t *testing.T) {
	for _, test := range []struct {
		drawing
		surveys, most int
	}{
		{drawing{points: 12, lines: 40, heights: 2}, 40, 1},
		{drawing{points: 24, lines: 100, heights: 2}, 25, 0},
		{drawing{points: 24, lines: 100, heights: 2, wrong: 2, moveMm: 12, scatterMm: 1, pairs: true}, 25, 0},
	} {
		wrong := 0
		for seed := range test.surveys {
			s := test.draw(uint64(seed))
			r := examine(t, s.c)
			if off := s.off(r); off > 25 {
				wrong++
				t.Logf("%d points, %d lines, seed %d: %.0f mm off, sigma0 %.2f", test.points, test.lines, seed, off, r.Sigma0)
			}
		}
		if wrong > test.most {
			t.Errorf("%d points, %d lines: %d of %d wrong", test.points, test.lines, wrong, test.surveys)
		}
	}
}
