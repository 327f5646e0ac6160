package web

import (
	"math"
	"strconv"
	"strings"
)

// starDrawing is a wheel with the order of its bolts, in a drawing a hundred wide.
type starDrawing struct {
	Studs []starStud
	Lines []starLine
	Words string // "1, 3, 5, 2, 4 as counted around"
}

type starStud struct {
	X, Y  float64
	Order int
}

type starLine struct{ X1, Y1, X2, Y2 float64 }

// newStar draws an order; nil draws nothing.
func newStar(order []int) *starDrawing {
	if order == nil {
		return nil
	}
	d := &starDrawing{Studs: make([]starStud, len(order))}
	words := make([]string, len(order))
	for i, place := range order {
		x, y := onCircle(place-1, len(order), 34)
		d.Studs[i] = starStud{x, y, i + 1}
		words[i] = strconv.Itoa(place)
		if i > 0 {
			d.Lines = append(d.Lines, starLine{d.Studs[i-1].X, d.Studs[i-1].Y, x, y})
		}
	}
	d.Words = strings.Join(words, ", ")
	return d
}

// onCircle is the place of one of several points spread evenly around the middle
// of a drawing a hundred wide, the first one at the top.
func onCircle(at, of int, radius float64) (x, y float64) {
	turn := 2*math.Pi*float64(at)/float64(of) - math.Pi/2
	return round2(50 + radius*math.Cos(turn)), round2(50 + radius*math.Sin(turn))
}
