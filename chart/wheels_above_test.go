package chart

import (
	"math"
	"testing"
)

func sampleWheels() Figure {
	return NewWheelsAbove(sampleCar())
}

func sampleCar() WheelsAbove {
	return WheelsAbove{
		Head: Head{ID: "wheels", Title: "Where the wheels point"},
		Wheels: [4]WheelDrawn{
			{new(0.34), new(-1.3), "0.34°", "−1.30°", WheelOff},
			{new(-0.09), new(-0.9), "−0.09°", "−0.90°", WheelOpen},
			{new(0.12), new(-1.8), "0.12°", "−1.80°", WheelGood},
			{ToeDeg: new(0.1), Toe: "0.10°"},
		},
		Before:    &[4]WheelDrawn{{ToeDeg: new(-0.4), CamberDeg: new(-2.9)}, {}, {}, {}},
		ThrustDeg: new(0.2), Thrust: "0.20° to the right", SetBack: [2]string{"Set-back 4 mm", ""},
	}
}

// Toe-in brings the front of a wheel towards the middle, camber that is positive
// its top outwards, a thrust angle that is positive the line to the right.
func TestWheelsPointAsTold(t *testing.T) {
	w := WheelsAbove{
		Wheels:    [4]WheelDrawn{{ToeDeg: new(0.2), CamberDeg: new(1.0)}, {ToeDeg: new(0.2), CamberDeg: new(1.0)}, {}, {}},
		ThrustDeg: new(0.1),
	}
	d := w.drawing(Phone)
	var fronts []point // middle of the front edge of each wheel from above
	for _, s := range d.shapes {
		if p, ok := s.(polyShape); ok && p.class == "fig-wheel" {
			fronts = append(fronts, point{(p.points[0].x + p.points[1].x) / 2, (p.points[0].y + p.points[1].y) / 2})
		}
	}
	const middle = aboveWidth / 2
	if len(fronts) != 4 { // two from above, two from behind
		t.Fatalf("%d wheels are drawn as read", len(fronts))
	}
	if !(fronts[0].x > middle-halfTrack && fronts[1].x < middle+halfTrack) {
		t.Errorf("from above the fronts of toed-in wheels stand at %v and %v", fronts[0], fronts[1])
	}
	if !(fronts[2].x < middle-70 && fronts[3].x > middle+70) {
		t.Errorf("from behind the tops that lean out stand at %v and %v", fronts[2], fronts[3])
	}
	drawn := math.Atan2(fronts[0].x-(middle-halfTrack), frontAt-fronts[0].y) * 180 / math.Pi
	if math.Abs(drawn-0.2*w.times()) > 1e-9 || w.times() != 50 {
		t.Errorf("0.2 degrees are drawn as %g, %g times", drawn, w.times())
	}
	for _, s := range d.shapes {
		if l, ok := s.(lineShape); ok && l.class == "fig-wheel-thrust" && l.b.x <= l.a.x {
			t.Errorf("the thrust line leads from %v to %v", l.a, l.b)
		}
	}
}

// Whatever is measured, everything stays within the drawing.
func TestWheelsStayInside(t *testing.T) {
	for _, v := range []float64{-12, -0.001, 0, 0.05, 8, math.NaN(), math.Inf(1)} {
		w := sampleCar()
		for i := range w.Wheels {
			w.Wheels[i].ToeDeg, w.Wheels[i].CamberDeg = &v, &v
		}
		w.ThrustDeg = &v
		for _, size := range []Size{Phone, Desk} {
			d := w.drawing(size)
			for _, s := range d.shapes {
				b := s.bounds()
				if !(b.x0 >= -0.5 && b.y0 >= -0.5 && b.x1 <= d.width+0.5 && b.y1 <= d.height+0.5) {
					t.Errorf("%g at %s: %+v lies outside %g by %g", v, size.Name, s, d.width, d.height)
				}
			}
		}
	}
}
