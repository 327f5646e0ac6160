package chart

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// LevelMap is levels over two axes: a sound over time and pitch, or over orders and
// speed. The stronger the ink, the louder.
type LevelMap struct {
	Head     Head
	Across   []float64 // middles of the columns, rising
	Down     []float64 // middles of the rows, rising: drawn upward
	DB       [][]float64
	LowDB    float64 // below it all is paper
	AcrossIs string  // "s", "order"
	DownIs   string  // "kHz", "turns a second"
	DownBy   float64 // what Down is divided by to be written; 0: 1
	Marks    []LevelMark
}

// LevelMark is an upright line with a name, at a place of the lower axis.
type LevelMark struct {
	At   float64
	Name string
}

// levelSteps is how many darknesses there are.
const levelSteps = 6

// NewLevelMap draws a map of levels.
func NewLevelMap(m LevelMap) Figure {
	if m.DownBy == 0 {
		m.DownBy = 1
	}
	if m.Head.Desc == "" {
		m.Head.Desc = m.describe()
	}
	return Figure{head: m.Head, role: "img", draw: m.draw, table: m.twin()}
}

func (m LevelMap) sound() bool {
	return len(m.Across) > 1 && len(m.Down) > 1 && len(m.DB) == len(m.Down) && len(m.DB[0]) == len(m.Across)
}

func (m LevelMap) describe() string {
	if !m.sound() {
		return "No levels."
	}
	text := fmt.Sprintf("Levels over %s, %s to %s, and %s, %s to %s.", m.AcrossIs, threeDigits(m.Across[0]), threeDigits(m.Across[len(m.Across)-1]),
		m.DownIs, threeDigits(m.Down[0]/m.DownBy), threeDigits(m.Down[len(m.Down)-1]/m.DownBy))
	for _, mark := range m.Marks {
		text += " " + mark.Name + " is expected at " + threeDigits(mark.At) + "."
	}
	return text
}

func threeDigits(v float64) string { return strconv.FormatFloat(v+0, 'g', 3, 64) }

// twinColumns is how many places the table twin tells.
const twinColumns = 12

func (m LevelMap) twin() Table {
	t := Table{Columns: []string{"At, " + m.AcrossIs, "Loudest at, " + m.DownIs, "dB under the loudest"}}
	if !m.sound() {
		return t
	}
	n := min(twinColumns, len(m.Across))
	for i := range n {
		k := i * (len(m.Across) - 1) / max(n-1, 1)
		best := -1
		for r := range m.DB {
			if v := m.DB[r][k]; !math.IsNaN(v) && (best < 0 || v > m.DB[best][k]) {
				best = r
			}
		}
		if best >= 0 {
			t.Rows = append(t.Rows, []string{threeDigits(m.Across[k]), threeDigits(m.Down[best] / m.DownBy), fmt.Sprintf("%.0f", 0-m.DB[best][k])})
		}
	}
	return t
}

func (m LevelMap) draw(size Size) *drawing {
	if !m.sound() {
		return message(size, "There is nothing to draw.")
	}
	g := &drawing{width: size.width(), height: 230}
	if !size.narrow() {
		g.height = 300
	}
	top := 20.0
	if len(m.Marks) > 0 {
		top = 24 + nameRows*nameRow
	}
	x := Scale{cellEdge(m.Across, true), cellEdge(m.Across, false), 40, g.width - 6}
	y := Scale{cellEdge(m.Down, true), cellEdge(m.Down, false), g.height - 36, top}
	for step, data := range m.cells(x, y) {
		if data != "" {
			g.add(cellShape{class: "fig-level fig-level-" + strconv.Itoa(step+1), data: data, area: box{x.From, y.To, x.To, y.From}})
		}
	}
	m.drawAxes(g, x, y)
	m.drawMarks(g, x, y)
	drawKey(g, 40, m.key())
	return g
}

// cellEdge is half a cell beyond the first or the last middle.
func cellEdge(middles []float64, first bool) float64 {
	n := len(middles)
	if first {
		return middles[0] - (middles[1]-middles[0])/2
	}
	return middles[n-1] + (middles[n-1]-middles[n-2])/2
}

// cells are the outlines of the cells of each darkness: cells beside each other are
// one. A cell is three or four units wide at least, of the loudest within.
func (m LevelMap) cells(x, y Scale) [levelSteps]string {
	least := 4.0
	if x.To-x.From < 400 {
		least = 3
	}
	columns := min(len(m.Across), int((x.To-x.From)/least))
	rows := min(len(m.Down), int((y.From-y.To)/least))
	var out [levelSteps]strings.Builder
	w, h := (x.To-x.From)/float64(columns), (y.From-y.To)/float64(rows)
	for r := range rows {
		from := 0
		now := -1
		for c := 0; c <= columns; c++ {
			step := -1
			if c < columns {
				step = m.step(c, columns, r, rows)
			}
			if step == now {
				continue
			}
			if now >= 0 {
				x0, x1, y0, y1 := tenth(x.From+float64(from)*w), tenth(x.From+float64(c)*w), tenth(y.From-float64(r+1)*h), tenth(y.From-float64(r)*h)
				fmt.Fprintf(&out[now], "M%s %sH%sV%sH%sz", x0, y0, x1, y1, x0)
			}
			from, now = c, step
		}
	}
	var data [levelSteps]string
	for i := range out {
		data[i] = out[i].String()
	}
	return data
}

// tenth is enough for a cell: a page holds thousands.
func tenth(v float64) string { return num(math.Round(10*v) / 10) }

// step is the darkness of a cell; below nought: paper.
func (m LevelMap) step(c, columns, r, rows int) int {
	loudest := math.Inf(-1)
	for j := r * len(m.Down) / rows; j < max((r+1)*len(m.Down)/rows, r*len(m.Down)/rows+1); j++ {
		for k := c * len(m.Across) / columns; k < max((c+1)*len(m.Across)/columns, c*len(m.Across)/columns+1); k++ {
			if v := m.DB[j][k]; v > loudest { // no NaN is
				loudest = v
			}
		}
	}
	if !(loudest > m.LowDB) || !(m.LowDB < 0) {
		return -1
	}
	return min(levelSteps-1, int(levelSteps*(loudest-m.LowDB)/-m.LowDB))
}

func (m LevelMap) drawAxes(g *drawing, x, y Scale) {
	for _, v := range Ticks(y.Low/m.DownBy, y.High/m.DownBy, 5) {
		at := y.At(v * m.DownBy)
		g.add(level("fig-tick", at, x.From-4, x.From), label("fig-tick-name", x.From-7, at+4, atEnd, tickWords(v)))
	}
	g.add(label("fig-tick-name", 0, 10, atStart, m.DownIs))
	g.add(level("fig-axis", y.From, x.From, x.To), upright("fig-axis", x.From, y.To, y.From))
	for i, v := range Ticks(x.Low, x.High, max(int((x.To-x.From)/64), 2)) {
		name := tickWords(v)
		if i == 0 {
			name += " " + m.AcrossIs
		}
		g.add(upright("fig-tick", x.At(v), y.From, y.From+4), label("fig-tick-name", x.At(v), y.From+18, atMiddle, name))
	}
}

// The rows that the names of uprights stand in.
const (
	nameRows = 3
	nameRow  = 14
)

// drawMarks draws the uprights, each name in the lowest row that has room; one that
// has none is left to the description.
func (m LevelMap) drawMarks(g *drawing, x, y Scale) {
	free := [nameRows]float64{x.From, x.From, x.From}
	for _, mark := range m.Marks {
		if mark.At < x.Low || mark.At > x.High {
			continue
		}
		at := x.At(mark.At)
		name := textShape{class: "fig-text fig-small fig-value", at: point{at + 3, 0}, size: smallSize, text: mark.Name}
		to := y.To
		for row := range free {
			name.at.y = y.To - 6 - float64(row)*nameRow
			if b := name.bounds(); b.x0 >= free[row] && b.x1 <= g.width {
				g.add(name)
				free[row], to = b.x1+8, b.y0
				break
			}
		}
		g.add(upright("fig-line-mark", at, to, y.From))
	}
}

func (m LevelMap) key() []keyEntry {
	key := []keyEntry{
		{"loudest", keyLevel(levelSteps)}, {fmt.Sprintf("%.0f dB under it", -m.LowDB/2), keyLevel(levelSteps / 2)}, {"hardly over the rest", keyLevel(1)},
	}
	if len(m.Marks) > 0 {
		key = append(key, keyEntry{"expected here", keyLine("fig-line-mark")})
	}
	return key
}

func keyLevel(step int) func(point) []shape {
	return func(p point) []shape {
		b := box{p.x, p.y - 5, p.x + 14, p.y + 5}
		return []shape{cellShape{class: "fig-level fig-level-" + strconv.Itoa(step), area: b, data: fmt.Sprintf("M%s %sh14v10h-14z", num(b.x0), num(b.y0))}}
	}
}

// cellShape is many cells of one darkness as one outline.
type cellShape struct {
	class string
	data  string
	area  box
}

func (s cellShape) bounds() box { return s.area }

func (s cellShape) writeSVG(w *svgWriter) { w.element("path", "", "class", s.class, "d", s.data) }
