package web

import (
	"math"

	"wreckwright/workshop"
)

// numberLine is a drawing of a reading with its doubt against its limits. Places
// are across a picture of lineWide.
type numberLine struct {
	Bands    []lineBand
	Marks    []lineMark
	Readings []float64
	Value    float64
	Label    string
	LabelAt  string // text-anchor
	Low      *float64
	High     *float64
	Words    string
}

// lineBand is a stretch of the line: good, or guard where the doubt asks for room.
type lineBand struct {
	X, Wide float64
	Class   string
}

// lineMark is a limit, or where a reading is accepted from.
type lineMark struct {
	X      float64
	Class  string // limit or accept
	Text   string
	Anchor string
	TextX  float64
}

// The picture is as wide as a phone's page, so that its letters are too.
const (
	lineWide = 320.0
	lineEdge = 6.0
)

// lineOf draws what a check says; nil for a part that wears, which has a line of
// another kind.
func lineOf(said workshop.Checked) *numberLine {
	r := said.Result
	if r == nil {
		return nil
	}
	scale := lineScale(said)
	l := &numberLine{Value: scale.at(r.Mean), Label: measured(said.Value), Words: said.Why}
	l.LabelAt = anchorOf(l.Value)
	if v := said.Value; v.Low != nil {
		l.Low, l.High = new(scale.at(*v.Low)), new(scale.at(*v.High))
	}
	l.band(scale, r.Lower, r.Upper, "good")
	if r.AcceptLow != nil && r.Lower != nil {
		l.band(scale, r.Lower, r.AcceptLow, "guard")
	}
	if r.AcceptHigh != nil && r.Upper != nil {
		l.band(scale, r.AcceptHigh, r.Upper, "guard")
	}
	for _, m := range []struct {
		at    *float64
		class string
	}{{r.Lower, "limit"}, {r.Upper, "limit"}, {r.AcceptLow, "accept"}, {r.AcceptHigh, "accept"}} {
		if m.at != nil {
			l.mark(scale.at(*m.at), m.class, markText(said, m.class, *m.at))
		}
	}
	if len(said.Rows) == 1 && (r.Form == "mean" || r.Form == "") {
		for _, v := range said.Rows[0].Values {
			l.Readings = append(l.Readings, scale.at(v))
		}
	}
	return l
}

// span is the stretch of numbers that is drawn.
type span struct{ low, high float64 }

func (s span) at(v float64) float64 {
	share := (v - s.low) / (s.high - s.low)
	return lineEdge + math.Min(math.Max(share, 0), 1)*(lineWide-2*lineEdge)
}

// lineScale holds limits, readings and the value with room at both sides; the
// interval of two readings can be wider than any picture and is cut off.
func lineScale(said workshop.Checked) span {
	r := said.Result
	s := span{r.Mean, r.Mean}
	hold := func(v float64) { s.low, s.high = math.Min(s.low, v), math.Max(s.high, v) }
	for _, at := range []*float64{r.Lower, r.Upper} {
		if at != nil {
			hold(*at)
		}
	}
	if len(said.Rows) == 1 && r.Form == "mean" {
		for _, v := range said.Rows[0].Values {
			hold(v)
		}
	}
	wide := s.high - s.low
	if wide < 4*r.StandardUncertainty {
		wide = 4 * r.StandardUncertainty
	}
	if wide <= 0 {
		wide = math.Max(math.Abs(r.Mean), 1) / 5
	}
	return span{s.low - 0.45*wide, s.high + 0.45*wide}
}

// band is the stretch between two numbers; one that is missing is the edge.
func (l *numberLine) band(scale span, from, to *float64, class string) {
	a, b := 0.0, lineWide
	if from != nil {
		a = scale.at(*from)
	}
	if to != nil {
		b = scale.at(*to)
	}
	if b > a {
		l.Bands = append(l.Bands, lineBand{a, b - a, class})
	}
}

func (l *numberLine) mark(x float64, class, text string) {
	l.Marks = append(l.Marks, lineMark{x, class, text, anchorOf(x), math.Min(math.Max(x, 2), lineWide-2)})
}

// anchorOf keeps a text within the picture.
func anchorOf(x float64) string {
	switch {
	case x < 60:
		return "start"
	case x > lineWide-60:
		return "end"
	}
	return "middle"
}

// markText is a limit as it was given; where it is accepted, as finely as the
// doubt allows.
func markText(said workshop.Checked, class string, v float64) string {
	if class == "accept" {
		v = workshop.ShownBound(said.Value, v)
	}
	return boundText(v)
}
