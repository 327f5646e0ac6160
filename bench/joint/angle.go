package joint

import "math"

// turned adds what an angle does to the preload of the torque before it. The
// stiffnesses are an upper bound of what a degree adds, since embedding, coatings
// and threads give too; preload ends at yield, which for the least strength of
// the class is the least that it can be.
func (e *examined) turned() {
	if e.c.AngleDeg == 0 {
		return
	}
	likely, most := e.stiff.perDegree(e.r.PitchMm)
	snug, angle := e.r.Preload, e.c.AngleDeg
	turn := &Turn{
		AngleDeg: angle, SnugKN: snug, BoltKNMm: e.stiff.bolt, MemberKNMm: e.stiff.member,
		KNPerDeg: likely, MostKNPerDeg: most, ElasticKN: snug.Value + likely*angle,
	}
	limit := func(mu float64) float64 { return e.r.Thread.AssemblyPreload(1, mu, e.strength.YieldMPa) }
	caps := Spread{limit(e.twistedBy.Value), limit(e.twistedBy.Low), limit(e.twistedBy.High)}
	turn.YieldsAtDeg = math.Max(0, caps.Value-snug.Value) / likely
	turn.PastYield = turn.ElasticKN > caps.Value
	if turn.PastYield {
		turn.NewBoltAlways = true
		turn.StretchMm = math.Max(0, angle-turn.YieldsAtDeg) / 360 * e.r.PitchMm
		if e.c.GripMm > 0 {
			turn.StretchOfGrip = turn.StretchMm / e.c.GripMm
		}
	}
	x := HalfWidth(e.r.Alpha)
	e.r.Preload = Spread{
		Value: math.Min(turn.ElasticKN, caps.Value),
		Low:   math.Min(snug.Low+likely*angle*(1-x), caps.Low),
		High:  math.Min(snug.High+most*angle*(1+x), caps.High),
	}
	e.r.Angle = turn
	e.r.MostNm = 0 // of the torque alone: the angle uses up what it leaves
	e.reckon()
}
