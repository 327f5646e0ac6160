package chart

import (
	"fmt"
	"math"
)

// WheelState is how what was read at a wheel stands to what is wanted.
type WheelState string

// The states of a wheel.
const (
	WheelPlain WheelState = ""     // nothing is wanted of it
	WheelGood  WheelState = "good" // within its limits
	WheelOff   WheelState = "off"  // outside
	WheelOpen  WheelState = "open" // too near to a limit to tell
)

// WheelDrawn is one wheel. An angle that was not measured is nil.
type WheelDrawn struct {
	ToeDeg, CamberDeg *float64 // toe-in and the top leaning out are positive
	Toe, Camber       string   // the same in the words and signs of the page
	State             WheelState
}

// WheelsAbove is where the wheels of a car point: FL, FR, RL, RR.
type WheelsAbove struct {
	Head
	Wheels    [4]WheelDrawn
	Before    *[4]WheelDrawn // drawn in broken lines; nil: nothing to hold it against
	ThrustDeg *float64       // positive: the rear axle points to the right
	Thrust    string
	SetBack   [2]string // of the axles, in words; empty: not measured
}

var (
	wheelNames = [4]string{"Front left", "Front right", "Rear left", "Rear right"}
	axleNames  = [2]string{"Front axle", "Rear axle"}
)

// NewWheelsAbove draws the car from above, front at the top, and both axles from
// behind. All angles are drawn larger by the same stated number.
func NewWheelsAbove(w WheelsAbove) Figure {
	if w.Desc == "" {
		w.Desc = w.describe()
	}
	t := Table{Columns: []string{"Wheel", "Toe", "Camber"}}
	for i, x := range w.Wheels {
		t.Rows = append(t.Rows, []string{wheelNames[i], orDash(x.Toe), orDash(x.Camber)})
	}
	if w.Thrust != "" {
		t.Rows = append(t.Rows, []string{"Thrust line", w.Thrust, ""})
	}
	return Figure{head: w.Head, role: "img", draw: w.drawing, table: t}
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

func (w WheelsAbove) describe() string {
	text := "The wheels from above and from behind."
	for i, x := range w.Wheels {
		if x.Toe != "" || x.Camber != "" {
			text += fmt.Sprintf(" %s: toe %s, camber %s.", wheelNames[i], orDash(x.Toe), orDash(x.Camber))
		}
	}
	if w.Thrust != "" {
		text += " Thrust angle " + w.Thrust + "."
	}
	return text + " " + timesWords(w.times()) + "."
}

// most is the angle that the largest one is drawn as at most.
const mostDrawn = 18

// times is by how much angles are drawn larger.
func (w WheelsAbove) times() float64 {
	largest := 0.0
	see := func(v *float64) {
		if v != nil && finite(*v) {
			largest = max(largest, math.Abs(*v))
		}
	}
	for i := range w.Wheels {
		see(w.Wheels[i].ToeDeg)
		if w.Before != nil {
			see(w.Before[i].ToeDeg)
		}
	}
	see(w.ThrustDeg)
	return stepBelow(mostDrawn / max(largest, 0.18))
}

// timesCamber is the same for camber, which is ten times as large as toe.
func (w WheelsAbove) timesCamber() float64 {
	largest := 0.0
	for i := range w.Wheels {
		for _, list := range []*[4]WheelDrawn{&w.Wheels, w.Before} {
			if list != nil && list[i].CamberDeg != nil && finite(*list[i].CamberDeg) {
				largest = max(largest, math.Abs(*list[i].CamberDeg))
			}
		}
	}
	return stepBelow(mostDrawn / max(largest, 1.8))
}

// stepBelow is the largest of 1, 2, 5, 10, 20, 50, 100 that is not above v.
func stepBelow(v float64) float64 {
	best := 1.0
	for _, step := range []float64{2, 5, 10, 20, 50, 100} {
		if step <= v {
			best = step
		}
	}
	return best
}

func timesWords(times float64) string {
	if times == 1 {
		return "Angles are drawn as they are"
	}
	return fmt.Sprintf("Angles are drawn %g times as large", times)
}

// The car from above takes this much room; a wheel this much.
const (
	aboveWidth, aboveHeight = 328.0, 372.0
	halfTrack               = 52.0
	frontAt, rearAt         = 106.0, 276.0
	wheelLong, wheelWide    = 58.0, 17.0
	behindHeight            = 118.0
)

func (w WheelsAbove) drawing(size Size) *drawing {
	d := &drawing{width: size.width()}
	behind := point{0, aboveHeight + 10}
	if d.width < 2*aboveWidth {
		d.height = aboveHeight + 2*behindHeight + 26
		d.width = aboveWidth
	} else {
		d.height = aboveHeight
		behind = point{d.width - aboveWidth, 40}
	}
	w.above(d)
	for axle := range axleNames {
		w.behind(d, axle, point{behind.x, behind.y + float64(axle)*behindHeight*1.15})
	}
	return d
}

// above draws body, centre line, wheels and thrust line.
func (w WheelsAbove) above(d *drawing) {
	const middle = aboveWidth / 2
	d.add(pathShape{"fig-wheel-body", "M128 62 C134 36 194 36 200 62 L202 110 C190 130 190 240 202 270 L199 318 C192 334 136 334 129 318 L126 270 C138 240 138 130 126 110 Z"})
	d.add(label("fig-small fig-muted", middle, 16, atMiddle, "Front"))
	d.add(polyShape{class: "fig-wheel-front", points: []point{{middle - 5, 30}, {middle, 21}, {middle + 5, 30}}, closed: true})
	d.add(upright("fig-wheel-middle", middle, 34, aboveHeight-34))
	if w.ThrustDeg != nil && finite(*w.ThrustDeg) {
		s, c := math.Sincos(*w.ThrustDeg * w.times() * math.Pi / 180)
		long := (rearAt - 44) / c
		d.add(lineShape{"fig-wheel-thrust", point{middle, rearAt}, point{middle + long*s, rearAt - long*c}})
	}
	for i := range w.Wheels {
		at := point{middle + halfTrack*sideOf(i), []float64{frontAt, rearAt}[i/2]}
		if w.Before != nil && w.Before[i].ToeDeg != nil {
			d.add(wheelShape("fig-wheel-before", at, sideOf(i), *w.Before[i].ToeDeg*w.times(), WheelPlain))
		}
		w.wheel(d, i, at)
	}
	for axle := range axleNames {
		y := []float64{frontAt, rearAt}[axle]
		d.add(level("fig-wheel-axle", y, middle-halfTrack+wheelWide/2, middle+halfTrack-wheelWide/2))
		if w.SetBack[axle] != "" {
			d.add(label("fig-small fig-muted", middle, y+58, atMiddle, w.SetBack[axle]))
		}
	}
	if w.Thrust != "" {
		d.add(label("fig-small fig-value", middle, aboveHeight-21, atMiddle, "Thrust line "+w.Thrust))
	}
	d.add(label("fig-small fig-muted", middle, aboveHeight-5, atMiddle, timesWords(w.times())))
}

func sideOf(i int) float64 { return float64(2*(i%2) - 1) } // -1 on the left

// wheel draws one wheel from above with its words outside the car.
func (w WheelsAbove) wheel(d *drawing, i int, at point) {
	x := w.Wheels[i]
	side := sideOf(i)
	if x.ToeDeg == nil || !finite(*x.ToeDeg) {
		d.add(wheelShape("fig-wheel fig-wheel-unread", at, side, 0, WheelPlain))
	} else {
		d.add(wheelShape(wheelClass(x.State), at, side, *x.ToeDeg*w.times(), x.State))
	}
	a, edge := atEnd, at.x-22
	if side > 0 {
		a, edge = atStart, at.x+22
	}
	for n, words := range []string{"Toe", x.Toe, "Camber", x.Camber} {
		class := "fig-small fig-muted"
		if n%2 == 1 {
			class = "fig-small fig-value"
			words = orDash(words)
		}
		d.add(label(class, edge, at.y-22+float64(n)*15, a, words))
	}
}

func wheelClass(s WheelState) string {
	switch s {
	case WheelOff: // hatched: a fill by the style sheet would cover it
		return "fig-wheel-off"
	case WheelGood, WheelOpen:
		return "fig-wheel fig-wheel-" + string(s)
	}
	return "fig-wheel"
}

// wheelShape is a wheel from above whose front leans towards the middle by an
// angle in degrees.
func wheelShape(class string, at point, side, toeIn float64, s WheelState) polyShape {
	return tyreShape(class, at, -side*toeIn, s)
}

// tyreShape is a tyre turned clockwise.
func tyreShape(class string, at point, clockwiseDeg float64, s WheelState) polyShape {
	const l, w, round = wheelLong / 2, wheelWide / 2, 4.0
	corners := []point{
		{-w + round, -l},
		{w - round, -l},
		{w, -l + round},
		{w, l - round},
		{w - round, l},
		{-w + round, l},
		{-w, l - round},
		{-w, -l + round},
	}
	sin, cos := math.Sincos(clockwiseDeg * math.Pi / 180)
	for i, p := range corners {
		corners[i] = point{at.x + p.x*cos - p.y*sin, at.y + p.x*sin + p.y*cos}
	}
	return polyShape{class: class, points: corners, closed: true, hatch: s == WheelOff}
}

// behind draws one axle as seen by somebody who stands behind the car.
func (w WheelsAbove) behind(d *drawing, axle int, at point) {
	middle, ground := at.x+aboveWidth/2, at.y+92
	times := w.timesCamber()
	d.add(label("fig-small fig-muted", middle, at.y+18, atMiddle, axleNames[axle]+" from behind"))
	d.add(level("fig-axis", ground, middle-100, middle+100))
	d.add(level("fig-wheel-axle", ground-wheelLong/2, middle-62, middle+62))
	for _, i := range []int{2 * axle, 2*axle + 1} {
		x, side := w.Wheels[i], sideOf(i)
		foot := point{middle + 70*side, ground - wheelLong/2}
		if w.Before != nil && w.Before[i].CamberDeg != nil {
			d.add(tyreShape("fig-wheel-before", foot, side**w.Before[i].CamberDeg*times, WheelPlain))
		}
		if x.CamberDeg == nil || !finite(*x.CamberDeg) {
			d.add(tyreShape("fig-wheel fig-wheel-unread", foot, 0, WheelPlain))
			continue
		}
		d.add(tyreShape(wheelClass(x.State), foot, side**x.CamberDeg*times, x.State))
	}
	if axle == 1 {
		d.add(label("fig-small fig-muted", middle, ground+20, atMiddle, timesWords(times)))
	}
}
