package chart

import (
	"cmp"
	"fmt"
	"slices"
)

// BidPoint is what one bid leads to: the chance (0 to 1) that the wanted profit is reached, and the expected profit.
type BidPoint struct {
	Bid            float64
	Chance         float64
	ExpectedProfit float64
}

// BidMarkKind says what a marked bid is.
type BidMarkKind string

// The kinds of marked bids.
const (
	BidCautious BidMarkKind = "cautious"
	BidChosen   BidMarkKind = "chosen"
	BidEven     BidMarkKind = "even"
	BidAsking   BidMarkKind = "asking"
	BidSafe     BidMarkKind = "safe" // every lower bid is affordable too
)

// rank orders the kinds by how soon their words may be left out.
func (k BidMarkKind) rank() int {
	return slices.Index([]BidMarkKind{BidChosen, BidAsking, BidSafe, BidCautious, BidEven}, k)
}

// BidMark is a bid of note. Confidence (0 to 1) is written beside its name; 0 writes none. A kind that does not apply
// is left out by the caller, as is a safe bid that equals the chosen one.
type BidMark struct {
	Kind       BidMarkKind
	Bid        float64
	Confidence float64
}

func (m BidMark) name() string {
	if m.Confidence > 0 {
		return string(m.Kind) + " " + percent(m.Confidence)
	}
	return string(m.Kind)
}

// BidCurve is what a bid leads to. Points rise in Bid. At a fee band's edge the curve may jump: then a point stands at
// either side of it, and Edges has the bid of the point above, so that the jump is not drawn as a slope. Sums are in
// units of the currency.
type BidCurve struct {
	Head
	Money  Money
	Points []BidPoint
	Marks  []BidMark
	Edges  []float64
	Wanted float64 // profit; 0 draws no line of it
}

// NewBidCurve draws the chance of the wanted profit over the bid and beneath it, on the same axis, the expected profit.
// Two panels and not two axes: a crossing of lines on unlike scales means nothing.
func NewBidCurve(c BidCurve) Figure {
	if c.Desc == "" {
		c.Desc = c.describe()
	}
	return Figure{head: c.Head, role: "img", draw: c.draw, table: c.twin()}
}

// points are those that can be drawn, rising in bid.
func (c BidCurve) points() []BidPoint {
	var out []BidPoint
	for _, p := range c.Points {
		if finite(p.Bid, p.Chance, p.ExpectedProfit) {
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(a, b BidPoint) int { return cmp.Compare(a.Bid, b.Bid) })
	return out
}

// marks are those that can be drawn.
func (c BidCurve) marks() []BidMark {
	var out []BidMark
	for _, m := range c.Marks {
		if finite(m.Bid) && m.Kind.rank() >= 0 {
			out = append(out, m)
		}
	}
	return out
}

// pointAt is the point of the curve at a bid, between its neighbours where it is none of the points; false outside.
func pointAt(points []BidPoint, bid float64) (BidPoint, bool) {
	for i, p := range points {
		switch {
		case p.Bid == bid:
			return p, true
		case p.Bid < bid:
		case i == 0:
			return BidPoint{}, false
		default:
			a := points[i-1]
			f := (bid - a.Bid) / (p.Bid - a.Bid)
			return BidPoint{bid, a.Chance + f*(p.Chance-a.Chance), a.ExpectedProfit + f*(p.ExpectedProfit-a.ExpectedProfit)}, true
		}
	}
	return BidPoint{}, false
}

// jumps reports whether the fees jump between two neighbours.
func (c BidCurve) jumps(a, b BidPoint) bool {
	return slices.ContainsFunc(c.Edges, func(e float64) bool { return a.Bid < e && e <= b.Bid })
}

func (c BidCurve) describe() string {
	points := c.points()
	if len(points) == 0 {
		return "No bid has been worked out."
	}
	first, last := points[0], points[len(points)-1]
	s := fmt.Sprintf("Chance of the wanted profit: %s at a bid of %s, %s at %s.", percent(first.Chance), c.Money.Text(first.Bid),
		percent(last.Chance), c.Money.Text(last.Bid))
	for _, m := range c.marks() {
		s += fmt.Sprintf(" %s: %s", sentence(m.name()), c.Money.Text(m.Bid))
		if p, ok := pointAt(points, m.Bid); ok {
			s += fmt.Sprintf(", chance %s, expected profit %s", percent(p.Chance), c.Money.Text(p.ExpectedProfit))
		}
		s += "."
	}
	if len(c.Edges) > 0 {
		s += fmt.Sprintf(" Edges of fee bands where the curve jumps: %d.", len(c.Edges))
	}
	return s
}

func (c BidCurve) twin() Table {
	t := Table{Columns: []string{"Bid", "Chance of the wanted profit", "Expected profit"}}
	points := c.points()
	for _, m := range c.marks() {
		row := []string{m.name() + ": " + c.Money.Text(m.Bid), "", ""}
		if p, ok := pointAt(points, m.Bid); ok {
			row[1], row[2] = percent(p.Chance), c.Money.Text(p.ExpectedProfit)
		}
		t.Rows = append(t.Rows, row)
	}
	for _, p := range points {
		t.Rows = append(t.Rows, []string{c.Money.Text(p.Bid), percent(p.Chance), c.Money.Text(p.ExpectedProfit)})
	}
	return t
}
