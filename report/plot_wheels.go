package report

import (
	"fmt"
	"math"

	"codeberg.org/go-pdf/fpdf"

	"wreckwright/prove/buildfile"
)

// The room for the drawing of the wheels, in millimetres of paper.
const (
	carHigh   = 92.0 // axle to axle and the wheels' ends
	carTrack  = 34.0 // half of it
	tyreLong  = 24.0
	tyreWide  = 8.0
	behind    = 34.0 // of the view from behind
	mostShown = 14.0 // degrees: how far the most turned wheel is drawn
)

// wheelPlot sets the wheels from above, the front at the top, and both axles from
// behind; angles are drawn larger than they are.
func (s *sheet) wheelPlot(w buildfile.WheelPlot) {
	toe, camber := turned(w, true), turned(w, false)
	s.room(carHigh + behind + 3*note.leading + 12)
	s.put(note, marginLeft, s.y, fmt.Sprintf("From above, the front at the top; toe drawn %.0f times as large", toe))
	s.y += note.leading + 1
	top := s.y
	s.fill(marginLeft, top, textWidth, carHigh, tint)
	centre := marginLeft + textWidth/2
	front, rear := top+tyreLong/2+5, top+carHigh-tyreLong/2-5
	s.line(centre, top+3, centre, top+carHigh-3, 0.15, rule)
	s.axle(centre, front)
	s.axle(centre, rear)
	if w.Thrust != nil {
		tilt := *w.Thrust * toe * math.Pi / 180
		long := rear - front
		s.arrow(centre, rear, centre+math.Tan(tilt)*long, front+4, accent)
		s.put(note, centre+3, (front+rear)/2, fmt.Sprintf("thrust line %+.2f\u00b0", *w.Thrust))
	}
	for _, c := range corners {
		stand := w.Wheels[c.key]
		x, y := centre+c.side*carTrack, front
		if c.rear {
			y = rear
		}
		s.tyre(x, y, tyreWide, tyreLong, -c.side*valueOf(stand.Toe)*toe)
		s.cornerWords(x, y, c.side, stand)
	}
	s.y = top + carHigh + 3
	s.fromBehind(w, camber)
}

// corners are the wheels: where they stand, left as -1.
var corners = []struct {
	key  string
	side float64
	rear bool
}{{"FL", -1, false}, {"FR", 1, false}, {"RL", -1, true}, {"RR", 1, true}}

func valueOf(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

// turned is how many times larger angles are drawn: a round number.
func turned(w buildfile.WheelPlot, toe bool) float64 {
	most := 0.0
	for _, stand := range w.Wheels {
		v := stand.Camber
		if toe {
			v = stand.Toe
		}
		most = max(most, math.Abs(valueOf(v)))
	}
	if toe {
		most = max(most, math.Abs(valueOf(w.Thrust)))
	}
	larger := 1.0
	for _, step := range []float64{2, 5, 10, 20, 50} {
		if most > 0 && most*step <= mostShown {
			larger = step
		}
	}
	return larger
}

func (s *sheet) axle(centre, y float64) {
	s.line(centre-carTrack, y, centre+carTrack, y, 0.6, rule)
}

// tyre is a wheel seen along its axle's plane, turned clockwise by so many degrees.
func (s *sheet) tyre(x, y, wide, long, degrees float64) {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	var corner []fpdf.PointType
	for _, at := range [][2]float64{{-wide / 2, -long / 2}, {wide / 2, -long / 2}, {wide / 2, long / 2}, {-wide / 2, long / 2}} {
		corner = append(corner, fpdf.PointType{X: x + at[0]*cos - at[1]*sin, Y: y + at[0]*sin + at[1]*cos})
	}
	s.pdf.SetFillColor(muted[0], muted[1], muted[2])
	s.pdf.Polygon(corner, "F")
}

// cornerWords sets the angles of a wheel outside of it.
func (s *sheet) cornerWords(x, y, side float64, stand buildfile.WheelStand) {
	for i, line := range []string{angleText("toe", stand.Toe, stand.ToeSD), angleText("camber", stand.Camber, stand.CamberSD)} {
		at := y - note.leading + float64(i)*note.leading
		if side < 0 {
			s.putRight(note, x-tyreWide-2, at, line)
		} else {
			s.put(note, x+tyreWide+2, at, line)
		}
	}
}

// angleText says an angle with its doubt at 95 %.
func angleText(name string, v, sd *float64) string {
	switch {
	case v == nil:
		return name + " not measured"
	case sd == nil:
		return fmt.Sprintf("%s %+.2f\u00b0", name, *v)
	}
	return fmt.Sprintf("%s %+.2f\u00b0 \u00b1 %.2f", name, *v, 2**sd)
}

// fromBehind sets both axles as one sees them from behind the car.
func (s *sheet) fromBehind(w buildfile.WheelPlot, larger float64) {
	s.put(note, marginLeft, s.y, fmt.Sprintf("From behind, front axle left, rear axle right; camber drawn %.0f times as large", larger))
	s.y += note.leading + 1
	s.fill(marginLeft, s.y, textWidth, behind, tint)
	y := s.y + behind/2
	for _, c := range corners {
		centre := marginLeft + textWidth/4
		if c.rear {
			centre += textWidth / 2
		}
		x := centre + c.side*carTrack/2
		s.line(centre, y, x, y, 0.6, rule)
		s.tyre(x, y, tyreWide, tyreLong, c.side*valueOf(w.Wheels[c.key].Camber)*larger)
	}
	s.y += behind + 2
	s.flow(note, marginLeft, textWidth, "Toe-in and a top that leans out are positive. \u00b1 is twice the standard uncertainty. What was not measured is drawn straight.")
	s.y += 2
}
