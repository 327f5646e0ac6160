package demo

import (
	"fmt"
	"hash/fnv"
	"html"
	"math"
	"math/rand/v2"
	"strings"
)

// The ink and paper of the drawings. Colours stand in attributes, not in styles,
// so that they show under a strict content security policy.
const (
	paper  = "#f6f1e4"
	ink    = "#2f2e33"
	pale   = "#d9d2c0"
	metal  = "#b9bec4"
	rubber = "#6b6a6e"
	hurt   = "#b3401f" // what is wrong
	rust   = "#b07a3a"
	green  = "#5f8f6a"
)

// sketch is a drawing of 480 by 360 units, with lines as by hand: they bend a
// little, always in the same way for the same drawing.
type sketch struct {
	body strings.Builder
	dice *rand.Rand
}

func newSketch(name string) *sketch {
	h := fnv.New64a()
	_, _ = h.Write([]byte(name))
	return &sketch{dice: rand.New(rand.NewPCG(h.Sum64(), 1))}
}

// off is a small deviation of the hand.
func (s *sketch) off(by float64) float64 { return (s.dice.Float64()*2 - 1) * by }

// trail is the path data through points x1, y1, x2, y2, ...
func (s *sketch) trail(closed bool, pts []float64) string {
	var d strings.Builder
	fmt.Fprintf(&d, "M%.1f %.1f", pts[0], pts[1])
	step := func(x0, y0, x, y float64) {
		bend := math.Min(3, math.Hypot(x-x0, y-y0)/25)
		fmt.Fprintf(&d, "Q%.1f %.1f %.1f %.1f", (x0+x)/2+s.off(bend), (y0+y)/2+s.off(bend), x, y)
	}
	for i := 2; i+1 < len(pts); i += 2 {
		step(pts[i-2], pts[i-1], pts[i]+s.off(0.7), pts[i+1]+s.off(0.7))
	}
	if closed {
		step(pts[len(pts)-2], pts[len(pts)-1], pts[0], pts[1])
		d.WriteByte('Z')
	}
	return d.String()
}

func (s *sketch) path(d, fill, stroke string, width float64) {
	fmt.Fprintf(&s.body, `<path d="%s" fill="%s" stroke="%s" stroke-width="%.1f" stroke-linecap="round" stroke-linejoin="round"/>`, d, fill, stroke, width)
}

// line is an open line in ink.
func (s *sketch) line(pts ...float64) { s.path(s.trail(false, pts), "none", ink, 2.5) }

// mark is an open line that shows what is wrong.
func (s *sketch) mark(pts ...float64) { s.path(s.trail(false, pts), "none", hurt, 4) }

// shape is a closed outline, filled.
func (s *sketch) shape(fill string, pts ...float64) { s.path(s.trail(true, pts), fill, ink, 2.5) }

// box is a rectangle.
func (s *sketch) box(fill string, x, y, w, h float64) { s.shape(fill, x, y, x+w, y, x+w, y+h, x, y+h) }

// ring is an ellipse: arcs whose control points lie where the tangents meet.
func (s *sketch) ring(fill string, x, y, rx, ry float64) {
	const arcs = 10
	stretch := 1 / math.Cos(math.Pi/arcs)
	wobble := math.Min(1.2, rx/60)
	var d strings.Builder
	fmt.Fprintf(&d, "M%.1f %.1f", x+rx, y)
	for i := range arcs {
		mid, end := 2*math.Pi*(float64(i)+0.5)/arcs, 2*math.Pi*float64(i+1)/arcs
		fmt.Fprintf(&d, "Q%.1f %.1f %.1f %.1f",
			x+rx*stretch*math.Cos(mid)+s.off(wobble), y+ry*stretch*math.Sin(mid)+s.off(wobble), x+rx*math.Cos(end), y+ry*math.Sin(end))
	}
	s.path(d.String()+"Z", fill, ink, 2.5)
}

// spoke gives the point at a distance and an angle, in degrees from the right.
func spoke(x, y, distance, degrees float64) (px, py float64) {
	turn := degrees * math.Pi / 180
	return x + distance*math.Cos(turn), y + distance*math.Sin(turn)
}

// circleMark puts a ring of the marking colour around what is wrong.
func (s *sketch) circleMark(x, y, r float64) {
	fmt.Fprintf(&s.body, `<ellipse cx="%.1f" cy="%.1f" rx="%.1f" ry="%.1f" fill="none" stroke="%s" stroke-width="3.5" stroke-dasharray="11 6"/>`, x, y, r+s.off(2), r+s.off(2), hurt)
}

// words are centred at x.
func (s *sketch) words(x, y, size float64, text string) { s.say("middle", ink, x, y, size, text) }

func (s *sketch) say(anchor, colour string, x, y, size float64, text string) {
	fmt.Fprintf(&s.body, `<text x="%.1f" y="%.1f" font-size="%.0f" font-family="Georgia, serif" text-anchor="%s" fill="%s">%s</text>`, x, y, size, anchor, colour, html.EscapeString(text))
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

// svg is the whole drawing with a foot that says what it is.
func (s *sketch) svg(title string, width, height float64) []byte {
	var out strings.Builder
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" width="%.0f" height="%.0f" viewBox="0 0 %.0f %.0f" role="img"><title>%s</title>`, width*2, height*2, width, height, html.EscapeString(title))
	fmt.Fprintf(&out, `<rect width="%.0f" height="%.0f" fill="%s"/>`, width, height, paper)
	out.WriteString(s.body.String())
	fmt.Fprintf(&out, `<text x="14" y="%.0f" font-size="12" font-family="Georgia, serif" fill="#6a6458">drawing, not a photo</text></svg>`, height-12)
	return []byte(out.String())
}
