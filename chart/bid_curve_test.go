package chart

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var bidKinds = []BidMarkKind{BidCautious, BidChosen, BidEven, BidAsking, BidSafe, "odd"}

// Whatever the curve, nothing leaves the figure and no text lies over another.
func TestBidCurveHolds(t *testing.T) {
	money := rapid.OneOf(rapid.Float64Range(0, 5e6), rapid.SampledFrom([]float64{0, 50, math.NaN(), math.Inf(-1)}))
	rapid.Check(t, func(t *rapid.T) {
		c := BidCurve{Money: pounds, Wanted: rapid.SampledFrom([]float64{0, 6000, -300, math.NaN()}).Draw(t, "wanted")}
		for range rapid.IntRange(0, 90).Draw(t, "points") {
			c.Points = append(c.Points, BidPoint{money.Draw(t, "bid"), rapid.Float64Range(0, 1).Draw(t, "chance"), rapid.Float64Range(-5e6, 5e6).Draw(t, "profit")})
		}
		for range rapid.IntRange(0, 6).Draw(t, "marks") {
			c.Marks = append(c.Marks, BidMark{rapid.SampledFrom(bidKinds).Draw(t, "kind"), money.Draw(t, "at"), rapid.Float64Range(0, 1).Draw(t, "confidence")})
		}
		c.Edges = rapid.SliceOfN(rapid.Float64Range(0, 5e6), 0, 5).Draw(t, "edges")
		holds(t, NewBidCurve(c))
	})
}

// jumpy rises by a fifth from one bid to the next, at the edge 2,000.
func jumpy() BidCurve {
	return BidCurve{Money: pounds, Edges: []float64{2000}, Points: []BidPoint{
		{1000, 0.9, 400}, {1950, 0.7, 0}, {2000, 0.8, 200}, {3000, 0.4, -800},
	}}
}

// A jump is no slope: no solid line leads over it, and without its edge one does.
func TestBidCurveJumps(t *testing.T) {
	runs := func(c BidCurve) (solid, dotted int) {
		for _, s := range c.draw(Desk).shapes {
			switch s := s.(type) {
			case polyShape:
				if strings.HasPrefix(s.class, "fig-line") {
					solid++
				}
			case lineShape:
				if s.class == "fig-jump" && s.a.x < s.b.x && math.Abs(s.a.y-s.b.y) > 1 {
					dotted++
				}
			}
		}
		return solid, dotted
	}
	if solid, dotted := runs(jumpy()); solid != 4 || dotted != 2 {
		t.Errorf("%d runs and %d jumps, want two of each curve and one jump of each", solid, dotted)
	}
	c := jumpy()
	c.Edges = nil
	if solid, dotted := runs(c); solid != 2 || dotted != 0 {
		t.Errorf("without an edge: %d runs and %d jumps", solid, dotted)
	}
}

// By hand: half-way from (2,000; 0.8; 200) to (3,000; 0.4; -800).
func TestBidCurvePointAt(t *testing.T) {
	points := jumpy().points()
	if p, ok := pointAt(points, 2500); !ok || math.Abs(p.Chance-0.6) > 1e-12 || math.Abs(p.ExpectedProfit+300) > 1e-9 {
		t.Errorf("at 2,500: %v, %v", p, ok)
	}
	if p, ok := pointAt(points, 2000); !ok || p != points[2] {
		t.Errorf("at 2,000: %v, %v", p, ok)
	}
	for _, bid := range []float64{999, 3001} {
		if _, ok := pointAt(points, bid); ok {
			t.Errorf("the curve has no %v", bid)
		}
	}
}

// The loss begins where the expected profit crosses nought: at 2,200, by hand.
func TestBidCurveLoss(t *testing.T) {
	c := jumpy()
	c.Points = c.Points[2:]
	var losses []box
	g := c.draw(Desk)
	for _, s := range g.shapes {
		if p, ok := s.(polyShape); ok && p.class == "fig-loss" {
			losses = append(losses, p.bounds())
		}
	}
	if len(losses) != 1 {
		t.Fatalf("%d areas of loss, want one", len(losses))
	}
	x := c.panels(g, c.points(), 200).x
	if math.Abs(losses[0].x0-x.At(2200)) > 0.01 || math.Abs(losses[0].x1-x.At(3000)) > 0.01 {
		t.Errorf("the loss lies from %v to %v", losses[0].x0, losses[0].x1)
	}
}

// Low bids that are as good as sure are left out of the figure, not of the table, unless one of them is marked.
func TestBidCurveSeen(t *testing.T) {
	c := sampleBids()
	if first := c.seen()[0].Bid; first < 15000 {
		t.Errorf("the figure begins at %v", first)
	}
	if table := string(NewBidCurve(c).Table()); !strings.Contains(table, `">£50</th>`) {
		t.Error("the table lacks the lowest bid")
	}
	c.Marks = append(c.Marks, BidMark{Kind: BidAsking, Bid: 12000})
	if first := c.seen()[0].Bid; first > 12000 {
		t.Errorf("a marked bid of 12,000 lies before the first point, %v", first)
	}
}

func TestBidCurveWords(t *testing.T) {
	c := jumpy()
	c.Marks = []BidMark{{BidChosen, 2500, 0.6}, {BidAsking, 9000, 0}}
	want := "Chance of the wanted profit: 90 % at a bid of £1,000, 40 % at £3,000. Chosen 60 %: £2,500, chance 60 %, expected profit −£300. Asking: £9,000. Edges of fee bands where the curve jumps: 1."
	if got := c.describe(); got != want {
		t.Errorf("described as %s", got)
	}
}

func TestBidCurveEscapes(t *testing.T) {
	evil := `<script>alert("1")</script> & ]]>` + "\x00\x1b"
	c := jumpy()
	c.Head, c.Money = Head{ID: evil, Title: evil, Desc: evil}, Money{Symbol: "<b>"}
	c.Marks = []BidMark{{BidMarkKind(evil), 2000, 0.5}, {BidEven, 2000, 0.5}}
	markup := string(NewBidCurve(c).HTML())
	if err := checkMarkup(markup); err != nil {
		t.Error(err)
	}
	for _, bad := range []string{"<script", "<b>", "\x00", "\x1b"} {
		if strings.Contains(markup, bad) {
			t.Errorf("%q in the figure", bad)
		}
	}
}
