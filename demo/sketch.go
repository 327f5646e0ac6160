package demo

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// The ink and paper of the drawings.
const (
	paper  = "#f6f1e4"
	ink    = "#2f2e33"
	pale   = "#d9d2c0"
	metal  = "#b9bec4"
	rubber = "#6b6a6e"
	hurt   = "#b3401f" // what is wrong
	rust   = "#b07a3a"
	green  = "#5f8f6a"
	foot   = "#6a6458" // the words below a drawing
	none   = "none"
)

// sketch is a drawing with lines as by hand: they bend a little, always in the
// same way for the same drawing. It can be had as pixels or as SVG.
type sketch struct {
	marks []mark
	dice  *rand.Rand
}

// mark is one thing on the paper: an outline or words.
type mark struct {
	trail        trail
	fill, stroke string
	width        float64
	dashed       bool
	words        *lettering
}

// trail is a line that bends: from a point on by quadratic curves.
type trail struct {
	x, y   float64
	bends  []bend
	closed bool
}

// bend is a curve by its control point and its end.
type bend struct{ cx, cy, x, y float64 }

// lettering are words set at a point: from it on ("start"), about it ("middle")
// or up to it ("end").
type lettering struct {
	anchor, colour, text string
	x, y, size           float64
}

func newSketch(name string) *sketch {
	h := fnv.New64a()
	_, _ = h.Write([]byte(name))
	return &sketch{dice: rand.New(rand.NewPCG(h.Sum64(), 1))}
}

// off is a small deviation of the hand.
func (s *sketch) off(by float64) float64 { return (s.dice.Float64()*2 - 1) * by }

// trail goes through points x1, y1, x2, y2, ...
func (s *sketch) trail(closed bool, pts []float64) trail {
	t := trail{x: pts[0], y: pts[1], closed: closed}
	step := func(x0, y0, x, y float64) {
		by := math.Min(3, math.Hypot(x-x0, y-y0)/25)
		t.bends = append(t.bends, bend{(x0+x)/2 + s.off(by), (y0+y)/2 + s.off(by), x, y})
	}
	for i := 2; i+1 < len(pts); i += 2 {
		step(pts[i-2], pts[i-1], pts[i]+s.off(0.7), pts[i+1]+s.off(0.7))
	}
	if closed {
		step(pts[len(pts)-2], pts[len(pts)-1], pts[0], pts[1])
	}
	return t
}

func (s *sketch) path(t trail, fill, stroke string, width float64) {
	s.marks = append(s.marks, mark{trail: t, fill: fill, stroke: stroke, width: width})
}

// line is an open line in ink.
func (s *sketch) line(pts ...float64) { s.path(s.trail(false, pts), none, ink, 2.5) }

// mark is an open line that shows what is wrong.
func (s *sketch) mark(pts ...float64) { s.path(s.trail(false, pts), none, hurt, 4) }

// shape is a closed outline, filled.
func (s *sketch) shape(fill string, pts ...float64) { s.path(s.trail(true, pts), fill, ink, 2.5) }

// box is a rectangle.
func (s *sketch) box(fill string, x, y, w, h float64) { s.shape(fill, x, y, x+w, y, x+w, y+h, x, y+h) }

// ring is an ellipse by hand.
func (s *sketch) ring(fill string, x, y, rx, ry float64) {
	s.path(s.round(x, y, rx, ry, math.Min(1.2, rx/60)), fill, ink, 2.5)
}

// round goes once about a point: arcs whose control points lie where the tangents
// meet.
func (s *sketch) round(x, y, rx, ry, wobble float64) trail {
	const arcs = 10
	stretch := 1 / math.Cos(math.Pi/arcs)
	t := trail{x: x + rx, y: y, closed: true}
	for i := range arcs {
		mid, end := 2*math.Pi*(float64(i)+0.5)/arcs, 2*math.Pi*float64(i+1)/arcs
		t.bends = append(t.bends, bend{
			x + rx*stretch*math.Cos(mid) + s.off(wobble), y + ry*stretch*math.Sin(mid) + s.off(wobble),
			x + rx*math.Cos(end), y + ry*math.Sin(end),
		})
	}
	return t
}

// spoke gives the point at a distance and an angle, in degrees from the right.
func spoke(x, y, distance, degrees float64) (px, py float64) {
	turn := degrees * math.Pi / 180
	return x + distance*math.Cos(turn), y + distance*math.Sin(turn)
}

// circleMark puts a ring of the marking colour around what is wrong.
func (s *sketch) circleMark(x, y, r float64) {
	t := s.round(x, y, r+s.off(2), r+s.off(2), 0)
	s.marks = append(s.marks, mark{trail: t, fill: none, stroke: hurt, width: 3.5, dashed: true})
}

// words are centred at x.
func (s *sketch) words(x, y, size float64, text string) { s.say("middle", ink, x, y, size, text) }

func (s *sketch) say(anchor, colour string, x, y, size float64, text string) {
	s.marks = append(s.marks, mark{words: &lettering{anchor, colour, text, x, y, size}})
}

// tag is a reading on a slip of paper in the corner.
func (s *sketch) tag(text string) {
	if text == "" {
		return
	}
	w := 26 + 13*float64(len([]rune(text)))
	s.box("#fffdf6", 456-w, 24, w, 42)
	s.say("middle", hurt, 456-w/2, 53, 24, text)
}

// finish says at the foot of the paper what it is.
func (s *sketch) finish(height float64) {
	s.say("start", foot, 14, height-12, 12, "drawing, not a photo")
}
