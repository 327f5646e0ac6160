package angles

import "math"

// up is the direction of gravity's up as seen from the plane of the pads.
func (f Floor) up(axle int) vector {
	x, y := -math.Sin(f.NoseDownDeg*degree), math.Sin(f.LeftHigherDeg[axle]*degree)
	return vector{x, y, math.Sqrt(1 - x*x - y*y)}
}

// trueCamber takes the slope of the floor out of an inclinometer reading: the
// camber over the pads, in radians, of a wheel on side s with heading h (left
// positive).
func trueCamber(reading, s, h float64, up vector) float64 {
	across := s * (up[1]*math.Cos(h) - up[0]*math.Sin(h))
	return math.Atan2(across, up[2]) + math.Asin(math.Sin(reading)/math.Hypot(across, up[2]))
}

// spinAxis points outward along the axle of a wheel.
func spinAxis(s, heading, camber float64) vector {
	return vector{-s * math.Cos(camber) * math.Sin(heading), s * math.Cos(camber) * math.Cos(heading), -math.Sin(camber)}
}

// forward is a direction in the plane of the wheel that rises by pitch from the
// level.
func forward(s, pitch float64, spin, up vector) vector {
	level := spin.cross(up).times(s).unit()
	rise := up.minus(spin.times(up.dot(spin))).unit()
	return level.times(math.Cos(pitch)).plus(rise.times(math.Sin(pitch)))
}

// position is a wheel steered to somewhere.
type position struct{ spin, edge vector }

// positions are the wheel straight, out and in. Headings are the turntable's,
// from straight, on top of the toe that the wheel has then.
func positions(w *Wheel, s, toe, camber float64, up vector) (straight, out, in position) {
	sweep := w.Sweep
	at := func(turnOut, reading float64) position {
		heading := s * (turnOut*degree - toe)
		return position{spin: spinAxis(s, heading, trueCamber((reading-w.zero())*degree, s, heading, up))}
	}
	out, in = at(sweep.OutDeg, sweep.CamberOutDeg), at(-sweep.InDeg, sweep.CamberInDeg)
	if p := sweep.Pitch; p != nil {
		out.edge = forward(s, p.OutDeg*degree, out.spin, up)
		in.edge = forward(s, p.InDeg*degree, in.spin, up)
	}
	return position{spin: spinAxis(s, -s*toe, camber)}, out, in
}

// steeringAxis is the axis of the rigid turn that takes the wheel through its
// positions: square to the differences of any vector fixed to the hub. With the
// brake held two positions of spin axis and hub edge fix it; else three of the
// spin axis do, which leaves its inclination far less sure.
//
// ref: DESIGN_ANGLES
func steeringAxis(w *Wheel, s, toe, camber float64, up vector) vector {
	straight, out, in := positions(w, s, toe, camber, up)
	var k vector
	if w.Sweep.Pitch != nil {
		k = out.spin.minus(in.spin).cross(out.edge.minus(in.edge))
	} else {
		k = out.spin.minus(straight.spin).cross(in.spin.minus(straight.spin))
	}
	if k[2] < 0 {
		k = k.times(-1)
	}
	return k.unit()
}

// casterOnly is the caster, radians, of a wheel whose camber straight was not
// read and whose brake was not held: the axis is taken to stand upright seen
// from the front, which matters little where both turns are alike.
func casterOnly(w *Wheel, s, toe float64, up vector) float64 {
	_, out, in := positions(w, s, toe, 0, up)
	d := out.spin.minus(in.spin)
	return math.Atan(d[2] / d[0]) // of k = (-tan, 0, 1) square to d
}

// casterOf and inclinationOf are an axis in side and in front elevation.
func casterOf(k vector) float64 { return math.Atan2(-k[0], k[2]) }

func inclinationOf(k vector, s float64) float64 { return math.Atan2(-s*k[1], k[2]) }
