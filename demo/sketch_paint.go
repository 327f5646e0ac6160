package demo

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// paint is the whole drawing in pixels, so many to a unit.
func (s *sketch) paint(width, height, scale float64) (*image.RGBA, error) {
	s.finish(height)
	p := painter{
		scale: scale, into: image.NewRGBA(image.Rect(0, 0, int(width*scale), int(height*scale))),
	}
	draw.Draw(p.into, p.into.Bounds(), image.NewUniform(colourOf(paper)), image.Point{}, draw.Src)
	for _, m := range s.marks {
		if m.words != nil {
			if err := p.words(*m.words); err != nil {
				return nil, err
			}
			continue
		}
		p.outline(m)
	}
	return p.into, nil
}

// painter puts marks on pixels.
type painter struct {
	scale float64
	into  *image.RGBA
	shape [][]point // what is to be put on together
	over  vector.Rasterizer
}

// point is a place in pixels.
type point struct{ x, y float64 }

func (p *painter) outline(m mark) {
	line := p.flat(m.trail)
	if m.fill != none {
		p.shape = append(p.shape, line)
		p.put(m.fill)
	}
	for _, piece := range dashes(line, m.dashed, p.scale) {
		p.stroke(piece, m.width*p.scale/2)
	}
	p.put(m.stroke)
}

// put fills what was gathered; only the pixels about it are gone through.
func (p *painter) put(colour string) {
	about := image.Rectangle{Min: p.into.Rect.Max}
	for _, polygon := range p.shape {
		for _, at := range polygon {
			about.Min.X, about.Min.Y = min(about.Min.X, int(at.x)-1), min(about.Min.Y, int(at.y)-1)
			about.Max.X, about.Max.Y = max(about.Max.X, int(at.x)+2), max(about.Max.Y, int(at.y)+2)
		}
	}
	about = about.Intersect(p.into.Rect)
	p.over.Reset(about.Dx(), about.Dy())
	for _, polygon := range p.shape {
		for i, at := range polygon {
			x, y := float32(at.x)-float32(about.Min.X), float32(at.y)-float32(about.Min.Y)
			if i == 0 {
				p.over.MoveTo(x, y)
				continue
			}
			p.over.LineTo(x, y)
		}
		p.over.ClosePath()
	}
	p.over.Draw(p.into, about, image.NewUniform(colourOf(colour)), image.Point{})
	p.shape = p.shape[:0]
}

// steps is into how many straight pieces a curve is parted: at most 150 pixels
// long and bent by a few, none is off by half of one.
const steps = 8

// flat is a trail as straight pieces, in pixels.
func (p *painter) flat(t trail) []point {
	x, y := t.x, t.y
	line := []point{{x * p.scale, y * p.scale}}
	for _, b := range t.bends {
		for i := 1; i <= steps; i++ {
			u := float64(i) / steps
			a, c, d := (1-u)*(1-u), 2*u*(1-u), u*u
			line = append(line, point{(a*x + c*b.cx + d*b.x) * p.scale, (a*y + c*b.cy + d*b.y) * p.scale})
		}
		x, y = b.x, b.y
	}
	return line
}

// stroke is a line of that half width with round ends and corners. Every piece
// goes round the same way, so that none takes away what another put there.
func (p *painter) stroke(line []point, half float64) {
	for i, at := range line {
		if i == 0 || i == len(line)-1 {
			p.disc(at, half)
		} else {
			p.disc(at, half-0.6) // else the edge gets darker where two edges meet
		}
		if i == 0 {
			continue
		}
		from := line[i-1]
		long := math.Hypot(at.x-from.x, at.y-from.y)
		if long == 0 {
			continue
		}
		dx, dy := (at.y-from.y)/long*half, (from.x-at.x)/long*half
		p.shape = append(p.shape, []point{{from.x + dx, from.y + dy}, {at.x + dx, at.y + dy}, {at.x - dx, at.y - dy}, {from.x - dx, from.y - dy}})
	}
}

func (p *painter) disc(at point, radius float64) {
	const corners = 16
	round := make([]point, corners)
	for i := range round {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		round[i] = point{at.x + radius*cos, at.y + radius*sin}
	}
	p.shape = append(p.shape, round)
}

// dashes parts a line into pieces 11 units long with gaps of 6; a plain line is
// one piece.
func dashes(line []point, dashed bool, scale float64) [][]point {
	if !dashed {
		return [][]point{line}
	}
	var pieces [][]point
	piece, left, on := []point{line[0]}, 11*scale, true
	for i := 1; i < len(line); {
		from, to := line[i-1], line[i]
		long := math.Hypot(to.x-from.x, to.y-from.y)
		if long < left {
			left -= long
			piece = append(piece, to)
			i++
			continue
		}
		cut := point{from.x + (to.x-from.x)*left/long, from.y + (to.y-from.y)*left/long}
		if on {
			pieces = append(pieces, append(piece, cut))
		}
		line[i-1], piece, on = cut, []point{cut}, !on
		left = map[bool]float64{true: 11, false: 6}[on] * scale
	}
	if on && len(piece) > 1 {
		pieces = append(pieces, piece)
	}
	return pieces
}

// words sets lettering.
func (p *painter) words(w lettering) error {
	family, err := opentype.Parse(goregular.TTF)
	if err != nil {
		return fmt.Errorf("the letters of the drawings: %w", err)
	}
	face, err := opentype.NewFace(family, &opentype.FaceOptions{Size: w.size * p.scale, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		return fmt.Errorf("the letters of the drawings: %w", err)
	}
	pen := font.Drawer{Dst: p.into, Src: image.NewUniform(colourOf(w.colour)), Face: face}
	x, wide := fixed.Int26_6(w.x*p.scale*64), pen.MeasureString(w.text)
	switch w.anchor {
	case "middle":
		x -= wide / 2
	case "end":
		x -= wide
	}
	pen.Dot = fixed.Point26_6{X: x, Y: fixed.Int26_6(w.y * p.scale * 64)}
	pen.DrawString(w.text)
	return face.Close()
}

// colourOf reads "#rrggbb".
func colourOf(hex string) color.RGBA {
	var r, g, b uint8
	if _, err := fmt.Sscanf(hex, "#%02x%02x%02x", &r, &g, &b); err != nil {
		return color.RGBA{A: 255}
	}
	return color.RGBA{r, g, b, 255}
}
