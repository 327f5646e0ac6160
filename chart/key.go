package chart

// keyEntry explains one mark: mark draws it 14 units wide from the point, which is level with its middle.
type keyEntry struct {
	name string
	mark func(point) []shape
}

// drawKey writes entries in rows below what is drawn so far and makes the drawing higher by them.
func drawKey(g *drawing, left float64, entries []keyEntry) {
	x, y := left, g.height+14
	for _, k := range entries {
		w := 20 + textWidth(k.name, smallSize)
		if x > left && x+w > g.width-2 {
			x, y = left, y+20
		}
		g.add(k.mark(point{x, y})...)
		g.add(textShape{class: "fig-text fig-small fig-key", at: point{x + 20, y + 4}, size: smallSize, text: k.name})
		x += w + 12
	}
	g.height = y + 12
}

func keyLine(class string) func(point) []shape {
	return func(p point) []shape { return []shape{level(class, p.y, p.x, p.x+14)} }
}

func keyBand(class string) func(point) []shape {
	return func(p point) []shape { return []shape{rectShape{class: class, x: p.x, y: p.y - 5, w: 14, h: 10}} }
}
