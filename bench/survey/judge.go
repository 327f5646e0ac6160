package survey

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"
)

// judge sets each place of a comparison against the tolerance, in each
// direction with its doubt: within it for sure, beyond it for sure, or neither. A
// height that nothing checks condemns no point, and nothing does one that may stand
// elsewhere.
//
// ref: JCGM_106 8.3.2; COMMON_PRACTICE
func (c comparison) judge(ids []string, tolerance float64, unchecked, uncertain []bool) []Compared {
	within := distuv.UnitNormal.Quantile(1 - fitRisk)
	beyond := distuv.UnitNormal.Quantile(1 - fitRisk/float64(len(ids)*c.dims))
	list := make([]Compared, 0, len(ids))
	for i, id := range ids {
		one := Compared{ID: id, Verdict: Pass}
		for k := range c.dims {
			d, sd := c.d[i*c.dims+k], math.Sqrt(max(c.read.At(i*c.dims+k, i*c.dims+k), 0))
			one.D, one.SD = append(one.D, d), append(one.SD, sd)
			switch {
			case math.Abs(d)-beyond*sd > tolerance && !uncertain[i] && !(unchecked[i] && (k == 2 || c.dims == 2)):
				one.Verdict = Fail
			case math.Abs(d)+within*sd > tolerance && one.Verdict == Pass:
				one.Verdict = CannotTell
			}
		}
		list = append(list, one)
	}
	return list
}

// list tells the places that moved.
func (c comparison) list(ids []string, where func(int) string) []Moved {
	stretch := math.Sqrt(chiSquare(0.95, c.dims))
	out := []Moved{}
	for k, i := range c.moved {
		m := Moved{ID: ids[i], DX: c.d[i*c.dims], DY: c.d[i*c.dims+1], Significance: c.chance[k], Where: where(i)}
		if c.dims == 3 {
			m.DZ = c.d[i*c.dims+2]
		}
		m.SizeMm = math.Sqrt(m.DX*m.DX + m.DY*m.DY + m.DZ*m.DZ)
		for k := range c.dims {
			m.sure[k] = math.Abs(c.d[i*c.dims+k]) > sureSDs*math.Sqrt(max(c.q.At(i*c.dims+k, i*c.dims+k), 0))
		}
		lengths, _ := axes(c.q, i*c.dims, c.dims)
		for _, length := range lengths {
			m.HalfAxesMm = append(m.HalfAxesMm, stretch*length)
		}
		out = append(out, m)
	}
	return out
}

// known is the displacement in the directions in which it is beyond its doubt: words
// rest on nothing that the readings do not fix.
func (m Moved) known() [3]float64 {
	d := [3]float64{m.DX, m.DY, m.DZ}
	for k := range d {
		if !m.sure[k] {
			d[k] = 0
		}
	}
	return d
}

// corner is where a point lies on the car whose middle is at the origin c.
func corner(x, y float64, c []float64) string {
	end, side := "rear", "right"
	if x >= c[0] {
		end = "front"
	}
	if y >= c[1] {
		side = "left"
	}
	return end + "-" + side
}

// groups says in a sentence for each corner where it has gone.
func groups(moved []Moved) []string {
	by := map[string][]Moved{}
	for _, m := range moved {
		by[m.Where] = append(by[m.Where], m)
	}
	lines := []string{}
	for _, where := range []string{"front-left", "front-right", "rear-left", "rear-right"} {
		list := by[where]
		if len(list) == 0 {
			continue
		}
		var d [3]float64
		var names []string
		for _, m := range list {
			n, own := float64(len(list)), m.known()
			d[0], d[1], d[2] = d[0]+own[0]/n, d[1]+own[1]/n, d[2]+own[2]/n
			names = append(names, m.ID)
		}
		subject := "The " + where + " corner (" + strings.Join(names, ", ") + ") has gone "
		if len(list) == 1 {
			subject = names[0] + " (" + where + ") has gone "
		}
		if d == [3]float64{} {
			lines = append(lines, strings.TrimSuffix(subject, "gone ")+"moved; which way, the readings do not fix.")
			continue
		}
		lines = append(lines, subject+went(d, strings.HasSuffix(where, "left"), true)+".")
	}
	return lines
}

// went is a displacement in the words of the workshop, from 1 mm on.
func went(d [3]float64, left, upKnown bool) string {
	in := d[1] < 0 == left
	words := [3]string{"back", "out", "down"}
	if d[0] > 0 {
		words[0] = "forward"
	}
	if in {
		words[1] = "in"
	}
	if d[2] > 0 {
		words[2] = "up"
	}
	if !upKnown {
		words[2] = "up or down"
	}
	var parts []string
	for k, word := range words {
		if math.Abs(d[k]) >= 1 {
			parts = append(parts, fmt.Sprintf("%s %.0f", word, math.Abs(d[k])))
		}
	}
	switch len(parts) {
	case 0:
		return "by less than 1 mm each way"
	case 1:
		return parts[0] + " mm"
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " and " + parts[len(parts)-1] + " mm"
}
