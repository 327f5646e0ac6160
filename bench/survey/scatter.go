package survey

import (
	"fmt"
	"math"
)

// Readings that scatter more than was entered, up to mostScatter times and with hardly
// any standing out, are judged with their own scatter.
const (
	mostScatter  = 3.0  // ref: DESIGN_SURVEY_AIDS
	standingOut  = 0.04 // ref: DESIGN_SURVEY_AIDS
	normalMedian = 0.6745
)

// byTheirScatter looks for wrong readings once more with the doubt that the readings
// show, where none was found that explains a misfit. What is known of the shape has to
// be more than distances: a wrong shape scatters too.
func (e *examination) byTheirScatter(first *adjustment) error {
	net := e.a.net
	if e.a.fits() || len(e.c.Nominal) == 0 && !net.hasHeights() {
		return nil
	}
	before := append([]reading(nil), net.readings...)
	for k := range net.readings {
		r := &net.readings[k]
		r.out, r.aside = false, 0
	}
	scatter := first.scatter()
	for range 2 {
		if scatter <= 1 || scatter > mostScatter {
			break
		}
		a, open, err := net.scattering(first.x, before, scatter)
		if err != nil {
			return err
		}
		switch {
		case !a.fits():
			scatter *= math.Sqrt(a.squares / float64(a.dof))
			continue
		case float64(len(net.readings)-net.used()) <= max(2, standingOut*float64(len(net.readings))):
			e.a, e.open, e.scatter = a, open, scatter
			return nil
		}
		break
	}
	copy(net.readings, before)
	return nil
}

// scattering adjusts with all readings in and their doubts that many times as large.
func (n *network) scattering(x []float64, entered []reading, times float64) (*adjustment, []doubtful, error) {
	for k := range n.readings {
		r := &n.readings[k]
		r.out, r.aside, r.sd = false, 0, times*entered[k].sd
	}
	a, err := n.adjust(x)
	if err != nil {
		return nil, nil, err
	}
	return a.snoop()
}

// scatter is by how many times the doubt entered the readings scatter, whatever a few
// of them do.
func (a *adjustment) scatter() float64 {
	var list []float64
	for k, r := range a.net.readings {
		if a.r[k] > leastRedundancy && !r.out {
			list = append(list, math.Abs(a.w[k]))
		}
	}
	if len(list) == 0 {
		return 0
	}
	return median(list) / normalMedian
}

// noteScatter says with which doubt the points were judged.
func (e *examination) noteScatter() {
	if e.scatter == 0 {
		return
	}
	var sds []float64
	for _, d := range e.c.Distances {
		sds = append(sds, d.SDMm)
	}
	entered := median(sds)
	e.note(fmt.Sprintf("Your readings scatter like %.2g mm in place of %.2g, and no single one stands out: the points are judged with that. Enter it as the doubt, or look what makes them scatter.", e.scatter*entered, entered))
}
