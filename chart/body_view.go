package chart

import (
	"fmt"
	"math"
	"strings"
)

// BodyState says what is known of a point of a body.
type BodyState string

// The states of a point.
const (
	BodyPlain  BodyState = ""       // nothing is said of it
	BodyWithin BodyState = "within" // fixed, or within its tolerance
	BodyBeyond BodyState = "beyond" // beyond its tolerance
	BodyOpen   BodyState = "open"   // too doubtful to tell, or not fixed yet
)

// bodyStates are the states in words, for the table.
var bodyStates = map[BodyState]string{BodyPlain: "", BodyWithin: "within", BodyBeyond: "beyond", BodyOpen: "cannot tell"}

// BodyPoint is a point measured on a body: x forward, y left, z up, in mm.
type BodyPoint struct {
	ID, Name   string
	XMm        float64
	YMm        float64
	ZMm        float64
	MoveMm     []float64 // displacement, two or three numbers; nil: not compared
	HalfMm     []float64 // half-axes of its doubt along x, y, z; nil: none
	State      BodyState
	StateWords string // instead of the usual words
	Floor      bool   // a mark on the floor
	Strong     bool   // it moved beyond chance: the arrow is drawn strong and its name kept
}

// BodyLine is a line between two points.
type BodyLine struct {
	From, To string
	Kind     string // read, next, wrong
}

// BodyView is a body from above, from its left and from the front, with where its
// points went.
type BodyView struct {
	Head
	Points   []BodyPoint
	Lines    []BodyLine
	PlanOnly bool
	Doubtful string // heading of the state in the table; empty: "Against the tolerance"
}

// NewBodyView draws the views of a body. Displacements and doubts are drawn larger
// than the body by a factor that the figure states; see [BodyView.Exaggeration].
func NewBodyView(v BodyView) Figure {
	if v.Desc == "" {
		v.Desc = v.describe()
	}
	return Figure{head: v.Head, role: "img", draw: v.somewhere().drawn, table: v.table()}
}

// somewhere leaves out points that are nowhere.
func (v BodyView) somewhere() BodyView {
	var list []BodyPoint
	for _, p := range v.Points {
		if finite(p.XMm, p.YMm, p.ZMm) {
			list = append(list, p)
		}
	}
	v.Points = list
	return v
}

func (v BodyView) describe() string {
	moved, beyond := 0, 0
	for _, p := range v.Points {
		if p.Strong {
			moved++
		}
		if p.State == BodyBeyond {
			beyond++
		}
	}
	words := fmt.Sprintf("%d points of a body.", len(v.Points))
	if k := v.Exaggeration(); k > 0 {
		words += fmt.Sprintf(" %d moved, %d beyond the tolerance; displacements are drawn %g times as large as the body.", moved, beyond, k)
	}
	return words
}

func (v BodyView) table() Table {
	state := v.Doubtful
	if state == "" {
		state = "Against the tolerance"
	}
	t := Table{Columns: []string{"Point", "Place"}}
	any := v.Exaggeration() > 0
	if any {
		t.Columns = append(t.Columns, "Forward, mm", "To the left, mm", "Up, mm")
	}
	t.Columns = append(t.Columns, state)
	for _, p := range v.Points {
		row := []string{p.ID, strings.TrimSpace(p.Name)}
		for k := range 3 {
			switch {
			case !any:
			case k < len(p.MoveMm) && finite(p.MoveMm[k]):
				row = append(row, strings.Replace(fmt.Sprintf("%+.1f", p.MoveMm[k]), "-", "−", 1))
			default:
				row = append(row, "–")
			}
		}
		t.Rows = append(t.Rows, append(row, p.words()))
	}
	return t
}

func (p BodyPoint) words() string {
	if p.StateWords != "" {
		return p.StateWords
	}
	return bodyStates[p.State]
}

// Exaggeration is how many times larger than the body displacements are drawn; 0
// where there are none.
func (v BodyView) Exaggeration() float64 {
	largest := 0.0
	for _, p := range v.Points {
		if len(p.MoveMm) > 0 && finite(p.MoveMm...) {
			largest = math.Max(largest, length(p.MoveMm))
		}
	}
	if largest == 0 {
		return 0
	}
	b := v.somewhere().bounds()
	want := 0.15 * math.Max(b.x1-b.x0, 1000) / math.Max(largest, 2)
	return roundDown(want)
}

// roundDown is the largest of 1, 2, 5 times a power of ten that is not above v,
// and at least 1.
func roundDown(v float64) float64 {
	if !(v > 1) || math.IsInf(v, 1) {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{5, 2} {
		if m*power <= v {
			return m * power
		}
	}
	return power
}

func length(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	return math.Sqrt(sum)
}

// bodyBounds is the room that the points take.
type bodyBounds struct{ x0, x1, y, z0, z1 float64 }

// The outline is a sketch around the points: so much beyond them.
const (
	beyondFrontMm = 260.0
	beyondRearMm  = 330.0
	beyondSideMm  = 170.0
	roofOverMm    = 430.0
	leastHalfMm   = 500.0
)

func (v BodyView) bounds() bodyBounds {
	b := bodyBounds{math.Inf(1), math.Inf(-1), 0, math.Inf(1), math.Inf(-1)}
	for _, p := range v.Points {
		b.x0, b.x1 = math.Min(b.x0, p.XMm), math.Max(b.x1, p.XMm)
		b.y = math.Max(b.y, math.Abs(p.YMm))
		b.z0, b.z1 = math.Min(b.z0, p.ZMm), math.Max(b.z1, p.ZMm)
	}
	if b.x0 > b.x1 {
		return bodyBounds{-3700, 1000, 900, 100, 1300}
	}
	b.x0, b.x1 = b.x0-beyondRearMm, b.x1+beyondFrontMm
	b.y = math.Max(b.y+beyondSideMm, leastHalfMm)
	b.z0 = math.Min(b.z0-60, 150)
	b.z1 = math.Max(b.z1+roofOverMm, b.z0+0.27*(b.x1-b.x0))
	return b
}

// bodyLook is one view: how a place in mm becomes a place in the drawing.
type bodyLook struct {
	name   string
	at     func(x, y, z float64) point
	axes   [2]int // of x, y, z: those that run across and down the drawing
	sketch [][]bodyPlace
	area   box
	scale  float64
}

type bodyPlace struct{ x, y, z float64 }

const (
	bodyMargin  = 30.0 // room for names beside the body
	bodyHeading = 22.0
	bodyGap     = 18.0
	tallestPlan = 620.0
)

// looks lays the views out: on a phone one below the other, the plan with the front
// at the top; else plan above side, the front beside it.
func (v BodyView) looks(size Size) (list []bodyLook, height float64) {
	b, wide := v.bounds(), size.width()
	if size.narrow() {
		scale := math.Min((wide-2*bodyMargin)/(2*b.y), tallestPlan/(b.x1-b.x0))
		plan := b.upright(wide/2, bodyHeading, scale)
		list, height = append(list, plan), plan.area.y1+bodyGap
		if v.PlanOnly {
			return list, height
		}
		side := b.side(bodyMargin/2, height+bodyHeading, (wide-bodyMargin)/(b.x1-b.x0))
		front := b.front(wide/2, side.area.y1+bodyGap+bodyHeading, math.Min(side.scale*1.6, (wide-2*bodyMargin)/(2*b.y)))
		return append(list, side, front), front.area.y1 + 14
	}
	share := wide - 2*bodyMargin
	if !v.PlanOnly {
		share = wide*0.68 - bodyMargin
	}
	scale := share / (b.x1 - b.x0)
	plan := b.lying(bodyMargin, bodyHeading+8, scale)
	list, height = append(list, plan), plan.area.y1+bodyGap
	if v.PlanOnly {
		return list, height
	}
	side := b.side(bodyMargin, height+bodyHeading, scale)
	room := wide - plan.area.x1 - 16
	front := b.front(plan.area.x1+16+room/2, height+bodyHeading, math.Min(scale, (room-bodyMargin)/(2*b.y)))
	return append(list, side, front), math.Max(side.area.y1, front.area.y1) + 14
}

// upright is the plan with the front at the top: the car's left on the left.
func (b bodyBounds) upright(middle, top, s float64) bodyLook {
	at := func(x, y, _ float64) point { return point{middle - y*s, top + (b.x1-x)*s} }
	return bodyLook{"From above", at, [2]int{1, 0}, b.planSketch(), box{middle - b.y*s, top, middle + b.y*s, top + (b.x1-b.x0)*s}, s}
}

// lying is the plan with the front on the left: the car's left is below.
func (b bodyBounds) lying(left, top, s float64) bodyLook {
	at := func(x, y, _ float64) point { return point{left + (b.x1-x)*s, top + (b.y+y)*s} }
	return bodyLook{"From above, front on the left", at, [2]int{0, 1}, b.planSketch(), box{left, top, left + (b.x1-b.x0)*s, top + 2*b.y*s}, s}
}

func (b bodyBounds) side(left, top, s float64) bodyLook {
	at := func(x, _, z float64) point { return point{left + (b.x1-x)*s, top + (b.z1-z)*s} }
	return bodyLook{"From its left side", at, [2]int{0, 2}, b.sideSketch(), box{left, top, left + (b.x1-b.x0)*s, top + (b.z1-b.z0)*s}, s}
}

// front is seen from ahead: the car's left is on the right.
func (b bodyBounds) front(middle, top, s float64) bodyLook {
	at := func(_, y, z float64) point { return point{middle + y*s, top + (b.z1-z)*s} }
	return bodyLook{"From the front: its left on the right", at, [2]int{1, 2}, b.frontSketch(), box{middle - b.y*s, top, middle + b.y*s, top + (b.z1-b.z0)*s}, s}
}

// The sketches are shares of the room: along from the front, across, up.
func (b bodyBounds) planSketch() [][]bodyPlace {
	half := [][2]float64{{0, 0}, {0, .45}, {.02, .68}, {.06, .84}, {.14, .93}, {.3, .95}, {.45, 1}, {.62, 1}, {.78, .97}, {.9, .92}, {.97, .74}, {1, .5}, {1, 0}}
	var body []bodyPlace
	for _, p := range half {
		body = append(body, bodyPlace{b.along(p[0]), p[1] * b.y, 0})
	}
	for i := len(half) - 2; i > 0; i-- {
		body = append(body, bodyPlace{b.along(half[i][0]), -half[i][1] * b.y, 0})
	}
	lines := [][]bodyPlace{append(body, body[0])}
	for _, end := range []float64{.2, .8} {
		for _, side := range []float64{1, -1} {
			lines = append(lines, []bodyPlace{
				{b.along(end - .07), side * .97 * b.y, 0},
				{b.along(end - .07), side * .74 * b.y, 0},
				{b.along(end + .07), side * .74 * b.y, 0},
				{b.along(end + .07), side * .97 * b.y, 0},
				{b.along(end - .07), side * .97 * b.y, 0},
			})
		}
	}
	return lines
}

func (b bodyBounds) along(share float64) float64 { return b.x1 - share*(b.x1-b.x0) }

func (b bodyBounds) up(share float64) float64 { return b.z0 + share*(b.z1-b.z0) }

func (b bodyBounds) sideSketch() [][]bodyPlace {
	shape := [][2]float64{{0, .18}, {.01, .42}, {.06, .52}, {.28, .62}, {.42, .95}, {.52, 1}, {.66, .97}, {.82, .68}, {.98, .62}, {1, .4}, {.99, .16}, {0, .18}}
	var body []bodyPlace
	for _, p := range shape {
		body = append(body, bodyPlace{b.along(p[0]), 0, b.up(p[1])})
	}
	lines := [][]bodyPlace{body}
	r := .068 * (b.x1 - b.x0)
	for _, end := range []float64{.2, .8} {
		var wheel []bodyPlace
		for k := range 25 {
			a := 2 * math.Pi * float64(k) / 24
			wheel = append(wheel, bodyPlace{b.along(end) + r*math.Cos(a), 0, b.z0 + r*.9 + r*math.Sin(a)})
		}
		lines = append(lines, wheel)
	}
	return lines
}

func (b bodyBounds) frontSketch() [][]bodyPlace {
	half := [][2]float64{{0, 1}, {.6, .98}, {.78, .66}, {.95, .58}, {1, .4}, {.97, .12}, {0, .12}}
	var body []bodyPlace
	for _, p := range half {
		body = append(body, bodyPlace{0, p[0] * b.y, b.up(p[1])})
	}
	for i := len(half) - 2; i >= 0; i-- {
		body = append(body, bodyPlace{0, -half[i][0] * b.y, b.up(half[i][1])})
	}
	return [][]bodyPlace{body}
}
