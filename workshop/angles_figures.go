package workshop

import (
	"wreckwright/bench/angles"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// The figures that a person looks at first.
const (
	figureFrontToe = "Total toe, front"
	figureRearToe  = "Total toe, rear"
	figureThrust   = "Thrust angle, to the right"
	figureCross    = "Cross-weight"
)

var leadingAngles = []string{figureFrontToe, figureRearToe, figureThrust, figureCross}

// figureList gathers figures with their doubt.
type figureList []rebuild.EvidenceFigure

func (l *figureList) add(name, unit string, value, sd *float64) {
	if value == nil {
		return
	}
	f := rebuild.EvidenceFigure{Name: name, Value: *value, Unit: unit}
	if sd != nil && *sd > 0 {
		f.Low, f.High = new(*value-uncertain.HalfOf95**sd), new(*value+uncertain.HalfOf95**sd)
	}
	*l = append(*l, f)
}

// angleFigures are the angles of a car, those that are looked at first before
// those of each wheel.
func angleFigures(r angles.Result) []rebuild.EvidenceFigure {
	l := &figureList{}
	front, rear := r.Axles["front"], r.Axles["rear"]
	l.add(figureFrontToe, "°", front.TotalToe, front.TotalToeSD)
	l.add(figureRearToe, "°", rear.TotalToe, rear.TotalToeSD)
	l.add(figureThrust, "°", r.Thrust, r.ThrustSD)
	if w := r.Weights; w != nil {
		l.add(figureCross, "%", &w.CrossPercent, &w.CrossSD)
	}
	for _, n := range angles.Corners {
		w, in := r.Wheels[n.String()], ", "+CornerWords(n.String())
		l.add("Toe"+in, "°", w.Toe, w.ToeSD)
		l.add("Camber"+in, "°", w.Camber, w.CamberSD)
		l.add("Caster"+in, "°", w.Caster, w.CasterSD)
		l.add("Steering-axis inclination"+in, "°", w.SteeringAxis, w.SteeringAxisSD)
		l.add("Included angle"+in, "°", w.Included, w.IncludedSD)
	}
	for _, name := range []string{"front", "rear"} {
		a, in := r.Axles[name], ", "+name
		l.add("Set-back"+in, "mm", a.SetBackMm, a.SetBackMmSD)
		l.add("Camber left less right"+in, "°", a.CrossCamber, a.CrossCamberSD)
		l.add("Caster left less right"+in, "°", a.CrossCaster, a.CrossCasterSD)
		l.add("Ride height"+in, "mm", a.HeightMm, a.HeightMmSD)
		l.add("Ride height left less right"+in, "mm", a.LeftOverMm, a.LeftOverMmSD)
	}
	if w := r.Weights; w != nil {
		l.add("Weight", "kg", &w.TotalKg, nil)
		l.add("Weight on the front", "%", &w.FrontPercent, nil)
		l.add("Weight on the left", "%", &w.LeftPercent, nil)
	}
	return *l
}

// leadingAngled are those that a person looks at first.
func leadingAngled(all []rebuild.EvidenceFigure) []rebuild.EvidenceFigure {
	var list []rebuild.EvidenceFigure
	for _, name := range leadingAngles {
		for _, f := range all {
			if f.Name == name {
				list = append(list, f)
			}
		}
	}
	if len(list) == 0 {
		list = all[:min(3, len(all))]
	}
	return list
}

// Leading are the figures that a person looks at first.
func (out Angled) Leading() []rebuild.EvidenceFigure { return leadingAngled(out.Figures) }
