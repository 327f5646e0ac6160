package angles

import "math"

// edges are the distances of the rim's edges from the line, means of both where
// the wheel was rolled on by half a turn.
func (w *Wheel) edges() (front, rear float64) {
	front, rear = w.Edges.FrontMm, w.Edges.RearMm
	if t := w.TurnedEdges; t != nil {
		front, rear = (front+t[0])/2, (rear+t[1])/2
	}
	return front, rear
}

// toLine is the toe against the wheel's own line, and how far its centre stands
// off it. The edges at the height of the hub end a true diameter, so that camber
// does not come in.
//
// ref: ISO_8855 7.1.6
func (w *Wheel) toLine() (toe, off float64) {
	front, rear := w.edges()
	return math.Asin((front - rear) / w.Edges.RimMm), (front + rear) / 2
}

// headings adds toe and set-back and gives the toe of each wheel in radians, 0
// where it was not measured.
func (c *Case) headings(f figures) (toes [4]float64) {
	var centres [4]*[2]float64
	gap := c.Lines.Gap
	turn := 0.0 // of the right line against the left one, to the left
	if gap != nil {
		turn = -math.Atan((gap[0].Mm - gap[1].Mm) / (gap[0].AtMm - gap[1].AtMm))
	}
	for _, n := range Corners {
		w := c.Wheels[n]
		if w == nil || w.Edges == nil {
			continue
		}
		toe, off := w.toLine()
		toes[n] = -n.side() * toe // the heading, for now
		if n.side() < 0 {
			toes[n] += turn
		}
		if w.HubXMm != nil && gap != nil {
			y := -off
			if n.side() < 0 {
				y = -gapAt(gap, *w.HubXMm) + off/math.Cos(turn)
			}
			centres[n] = &[2]float64{*w.HubXMm, y}
		}
	}
	centre := centreLine(centres)
	for _, n := range Corners {
		if w := c.Wheels[n]; w != nil && w.Edges != nil {
			toes[n] = -n.side() * (toes[n] - centre)
			f[n.String()+".toe_deg"] = toes[n] / degree
		}
	}
	c.setBack(f, centres, centre)
	c.lineError(f)
	return toes
}

// gapAt is the distance between the lines at a station.
func gapAt(g *[2]Gap, x float64) float64 {
	return g[1].Mm + (g[0].Mm-g[1].Mm)*(x-g[1].AtMm)/(g[0].AtMm-g[1].AtMm)
}

// centreLine is the heading of the line through the middles of the axles; 0,
// along the lines, where the centres are not known.
func centreLine(p [4]*[2]float64) float64 {
	for _, one := range p {
		if one == nil {
			return 0
		}
	}
	return math.Atan2(p[FL][1]+p[FR][1]-p[RL][1]-p[RR][1], p[FL][0]+p[FR][0]-p[RL][0]-p[RR][0])
}

// setBack adds how far the right wheel of each axle stands behind the left one,
// along the centre line.
func (c *Case) setBack(f figures, p [4]*[2]float64, centre float64) {
	for axle, name := range axleNames {
		l, r := Corner(2*axle), Corner(2*axle+1)
		if p[l] != nil && p[r] != nil {
			dx, dy := p[l][0]-p[r][0], p[l][1]-p[r][1]
			along, across := dx*math.Cos(centre)+dy*math.Sin(centre), dy*math.Cos(centre)-dx*math.Sin(centre)
			f[name+".set_back_mm"], f[name+".track_mm"] = along, across
			f[name+".set_back_deg"] = math.Atan2(along, across) / degree
			continue
		}
		left, right := c.Wheels[l], c.Wheels[r]
		if left != nil && right != nil && left.HubXMm != nil && right.HubXMm != nil {
			f[name+".set_back_mm"] = *left.HubXMm - *right.HubXMm
		}
	}
}

// shortestBase is below the wheelbase of any car, mm.
const shortestBase = 1000

// lineError adds by how much lines that were set parallel point to the left of
// the line through the middles of the axles.
func (c *Case) lineError(f figures) {
	if c.Lines.Gap != nil {
		return
	}
	var off, x [4]float64
	for _, n := range Corners {
		w := c.Wheels[n]
		if w == nil || w.Edges == nil || w.HubXMm == nil {
			return
		}
		_, off[n] = w.toLine()
		x[n] = *w.HubXMm
	}
	base := x[FL] + x[FR] - x[RL] - x[RR]
	if base > 2*shortestBase { // else the stations are those of each axle alone
		f["line_error_deg"] = -math.Atan((off[FR]-off[FL]-off[RR]+off[RL])/base) / degree
	}
}
