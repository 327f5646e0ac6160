package chart

// Rows of the bid curve from the top: name of the upper panel, names of the marked bids, the chance, the profit, the
// sums bid.
const (
	bidTop  = 72.0
	bidName = 34.0
	bidFoot = 46.0
	bidHead = 40.0 // between the panels, for the name of the lower one
)

// bidPanels are the scales of the two panels.
type bidPanels struct{ x, chance, profit Scale }

func (c BidCurve) draw(size Size) *drawing {
	points := c.seen()
	if len(points) < 2 {
		return message(size, "No bid has been worked out yet.")
	}
	g := &drawing{width: size.width(), height: 410}
	upper := 150.0
	if !size.narrow() {
		g.height, upper = 480, 200
	}
	p := c.panels(g, points, upper)
	c.drawChanceAxis(g, p)
	c.drawProfitAxis(g, p)
	c.drawLoss(g, p, points)
	c.drawMarkLines(g, p)
	c.drawCurve(g, points, func(b BidPoint) point { return point{p.x.At(b.Bid), p.chance.At(b.Chance)} })
	c.drawCurve(g, points, func(b BidPoint) point { return point{p.x.At(b.Bid), p.profit.At(b.ExpectedProfit)} })
	c.drawMarks(g, p, points)
	drawMoneyTicks(g, p.x, p.profit.From, c.Money, nil)
	g.add(label("fig-muted", p.x.To, p.profit.From+36, atEnd, "hammer price bid"))
	drawKey(g, edge, c.key(points, size))
	return g
}

// seen leaves out the low bids at which the profit is as good as sure, where no mark stands among them.
func (c BidCurve) seen() []BidPoint {
	points := c.points()
	first := 0
	for first+2 < len(points) && points[first].Chance > 0.995 && points[first+1].Chance > 0.995 {
		first++
	}
	for _, m := range c.marks() {
		for first > 0 && m.Bid < points[first].Bid {
			first--
		}
	}
	return points[first:]
}

func (c BidCurve) panels(g *drawing, points []BidPoint, upper float64) bidPanels {
	var bids, profits span
	profits.take(0)
	for _, p := range points {
		bids.take(p.Bid)
		profits.take(p.ExpectedProfit)
	}
	for _, m := range c.marks() {
		bids.take(m.Bid)
	}
	if c.wanted() {
		profits.take(c.Wanted)
	}
	var p bidPanels
	p.chance = Scale{Low: 0, High: 1, From: bidTop + upper, To: bidTop}
	p.profit = Scale{From: g.height - bidFoot, To: p.chance.From + bidHead}
	p.profit.Low, p.profit.High = profits.padded(0.08)
	left := textWidth("100 %", textSize)
	for _, v := range profitTicks(p.profit) {
		left = max(left, textWidth(c.Money.Text(v), textSize))
	}
	p.x = Scale{From: left + 10, To: g.width - edge}
	p.x.Low, p.x.High = bids.padded(0.02)
	return p
}

func (c BidCurve) wanted() bool { return c.Wanted != 0 && finite(c.Wanted) }

func profitTicks(y Scale) []float64 { return Ticks(y.Low, y.High, int((y.From-y.To)/30)) }

func (c BidCurve) drawChanceAxis(g *drawing, p bidPanels) {
	for _, v := range []float64{0, 0.25, 0.5, 0.75, 1} {
		class := "fig-grid"
		if v == 0 {
			class = "fig-axis"
		}
		g.add(level(class, p.chance.At(v), p.x.From, p.x.To))
		g.add(label("fig-tick-name", p.x.From-6, p.chance.At(v)+4, atEnd, percent(v)))
	}
	words := "chance of the wanted profit"
	if c.wanted() {
		words = "chance of " + c.Money.Text(c.Wanted) + " profit or more"
	}
	words, _ = cut(words, textSize, g.width-4)
	g.add(label("fig-muted", 2, 14, atStart, words))
}

func (c BidCurve) drawProfitAxis(g *drawing, p bidPanels) {
	for _, v := range profitTicks(p.profit) {
		class := "fig-grid"
		if v == 0 {
			class = "fig-axis"
		}
		g.add(level(class, p.profit.At(v), p.x.From, p.x.To))
		g.add(label("fig-tick-name", p.x.From-6, p.profit.At(v)+4, atEnd, c.Money.Text(v)))
	}
	g.add(level("fig-grid", p.profit.From, p.x.From, p.x.To))
	g.add(label("fig-muted", 2, p.profit.To-17, atStart, "expected profit"))
	if c.wanted() {
		g.add(level("fig-wanted", p.profit.At(c.Wanted), p.x.From, p.x.To))
	}
}

// drawLoss hatches what lies between the expected profit and nought where it is a loss.
func (c BidCurve) drawLoss(g *drawing, p bidPanels, points []BidPoint) {
	zero := p.profit.At(0)
	for i := 1; i < len(points); i++ {
		a := point{p.x.At(points[i-1].Bid), p.profit.At(points[i-1].ExpectedProfit)}
		b := point{p.x.At(points[i].Bid), p.profit.At(points[i].ExpectedProfit)}
		if a.y <= zero && b.y <= zero {
			continue
		}
		if a.y < zero || b.y < zero {
			cross := point{a.x + (b.x-a.x)*(zero-a.y)/(b.y-a.y), zero}
			if a.y < zero {
				a = cross
			} else {
				b = cross
			}
		}
		g.add(polyShape{class: "fig-loss", closed: true, hatch: true, points: []point{{a.x, zero}, a, b, {b.x, zero}}})
	}
}

// drawCurve draws the runs between the jumps as lines and the jumps as dots.
func (c BidCurve) drawCurve(g *drawing, points []BidPoint, place func(BidPoint) point) {
	run := []point{place(points[0])}
	for i := 1; i < len(points); i++ {
		next := place(points[i])
		if c.jumps(points[i-1], points[i]) {
			g.add(polyShape{class: "fig-line fig-line-spent", points: run}, lineShape{"fig-jump", run[len(run)-1], next})
			run = nil
		}
		run = append(run, next)
	}
	g.add(polyShape{class: "fig-line fig-line-spent", points: run})
}

func (m BidMark) lineClass() string {
	switch m.Kind {
	case BidChosen:
		return "fig-mark fig-mark-main"
	case BidAsking:
		return "fig-asking"
	}
	return "fig-mark"
}

func (c BidCurve) drawMarkLines(g *drawing, p bidPanels) {
	for _, m := range c.marks() {
		g.add(upright(m.lineClass(), p.x.At(m.Bid), p.chance.To, p.profit.From))
	}
}

// drawMarks sets a shape on both curves at every marked bid and its name on top.
func (c BidCurve) drawMarks(g *drawing, p bidPanels, points []BidPoint) {
	var pins []pin
	for _, m := range c.marks() {
		if b, ok := pointAt(points, m.Bid); ok {
			g.add(m.shape(point{p.x.At(b.Bid), p.chance.At(b.Chance)}), m.shape(point{p.x.At(b.Bid), p.profit.At(b.ExpectedProfit)}))
		}
		lines := []string{m.name(), c.Money.Text(m.Bid)}
		if (Size{WidthPx: g.width}).narrow() {
			lines = []string{string(m.Kind)}
		}
		pins = append(pins, pin{m.Bid, lines, "fig-mark", m.Kind.rank()})
	}
	for _, l := range placePins(pins, p.x, g.width) {
		g.add(lineShape{"fig-leader", point{p.x.At(l.at), bidTop}, point{l.centre, bidName + 20}})
		for i, s := range l.lines {
			class := "fig-name"
			if i > 0 {
				class = "fig-value"
			}
			g.add(label(class, l.centre, bidName+16*float64(2-len(l.lines)+i), atMiddle, s))
		}
	}
}

// shape tells the kinds apart: dots for the three confidences, the chosen one filled, a lozenge for the price asked,
// a square for the safe bid.
func (m BidMark) shape(at point) shape {
	switch m.Kind {
	case BidChosen:
		return circleShape{"fig-bid fig-bid-chosen", at, 5.5}
	case BidAsking:
		return polyShape{class: "fig-bid fig-bid-asking", closed: true, points: []point{{at.x, at.y - 7}, {at.x + 7, at.y}, {at.x, at.y + 7}, {at.x - 7, at.y}}}
	case BidSafe:
		return rectShape{class: "fig-bid", x: at.x - 4.5, y: at.y - 4.5, w: 9, h: 9}
	}
	return circleShape{"fig-bid", at, 4.5}
}

// key gives the sums that a phone has no room for on top, and explains what else is drawn.
func (c BidCurve) key(points []BidPoint, size Size) []keyEntry {
	var out []keyEntry
	for _, m := range c.marks() {
		if size.narrow() {
			out = append(out, keyEntry{m.name() + ": " + c.Money.Text(m.Bid), func(p point) []shape { return []shape{m.shape(point{p.x + 7, p.y})} }})
		}
	}
	if c.wanted() {
		out = append(out, keyEntry{"wanted profit", keyLine("fig-wanted")})
	}
	loss, jump := false, false
	for i, p := range points {
		loss = loss || p.ExpectedProfit < 0
		jump = jump || i > 0 && c.jumps(points[i-1], p)
	}
	if loss {
		out = append(out, keyEntry{"expected loss", func(p point) []shape {
			return []shape{rectShape{class: "fig-loss", x: p.x, y: p.y - 5, w: 14, h: 10, hatch: true}}
		}})
	}
	if jump {
		out = append(out, keyEntry{"edge of a fee band", keyLine("fig-jump")})
	}
	return out
}
