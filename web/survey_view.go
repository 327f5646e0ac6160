package web

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"net/url"
	"slices"
	"strings"

	"wreckwright/bench/survey"
	"wreckwright/chart"
	"wreckwright/uncertain"
	"wreckwright/workshop"
)

// quickPlaces are the corners and middles of a quick survey, for its drawing.
var quickPlaces = []struct{ id, name string }{
	{"FL", "front left"}, {"FR", "front right"}, {"ML", "middle left"}, {"MR", "middle right"}, {"RL", "rear left"}, {"RR", "rear right"},
}

// quickEnds are the points of the lines of a quick survey.
var quickEnds = map[survey.QuickLine][2]string{
	survey.CrossFront: {"FL", "FR"}, survey.CrossMiddle: {"ML", "MR"}, survey.CrossRear: {"RL", "RR"},
	survey.DiagonalFromLeft: {"FL", "RR"}, survey.DiagonalFromRight: {"FR", "RL"},
	survey.SideLeft: {"FL", "RL"}, survey.SideRight: {"FR", "RR"},
}

// linePoints are the points at the ends of a line; of a height the second is empty.
func linePoints(b workshop.BodySurvey, l workshop.TapeLine) [2]string {
	if b.Mode == workshop.SurveyQuick {
		return quickEnds[survey.QuickLine(l.From)]
	}
	return [2]string{l.From, l.To}
}

// sketchPoints are the points where they are about.
func sketchPoints(b workshop.BodySurvey, state func(id string) chart.BodyState) []chart.BodyPoint {
	var list []chart.BodyPoint
	if b.Mode == workshop.SurveyQuick {
		for i, p := range workshop.NewBodySurvey("quick").Points {
			q := quickPlaces[i]
			list = append(list, chart.BodyPoint{ID: q.id, Name: q.name, XMm: p.At.XMm, YMm: p.At.YMm, ZMm: p.At.ZMm})
		}
		return list
	}
	for _, p := range b.Points {
		at := p.At
		if p.Nominal != nil {
			at = *p.Nominal
		}
		q := chart.BodyPoint{ID: p.ID, Name: p.Name, XMm: at.XMm, YMm: at.YMm, ZMm: at.ZMm, Floor: p.Floor, State: state(p.ID)}
		q.StateWords = map[chart.BodyState]string{chart.BodyWithin: "fixed", chart.BodyOpen: "not yet"}[q.State]
		list = append(list, q)
	}
	return list
}

// ellipse95 is how many standard deviations the half-axes of an ellipse have that
// holds 95 % of a normal distribution in two directions.
const ellipse95 = 2.447747

// bodyView is what a survey of points says, drawn; false for one of five lines.
func bodyView(said workshop.Surveyed) (chart.BodyView, bool) {
	r := said.Result
	if r == nil {
		return chart.BodyView{}, false
	}
	v := chart.BodyView{Head: chart.Head{ID: "body", Title: "Where the points are"}}
	v.Points = sketchPoints(said.Survey, func(string) chart.BodyState { return chart.BodyPlain })
	at := map[string]int{}
	for i := range v.Points {
		at[v.Points[i].ID] = i
	}
	strong := map[string]bool{}
	for _, m := range r.Moved {
		strong[m.ID] = true
	}
	for _, c := range r.Compared {
		left, right := pairOf(said.Survey, c.ID)
		i, ok := at[left]
		if !ok {
			continue
		}
		p := &v.Points[i]
		p.MoveMm, p.HalfMm, p.Strong, p.State = c.D, halves(c.SD), strong[c.ID], bodyState(c.Verdict)
		if k, ok := at[right]; ok && right != "" {
			v.Points[k].State = p.State
			v.Points[k].StateWords = "see " + left
		}
	}
	for _, b := range r.Blunders {
		if b.To != "" {
			v.Lines = append(v.Lines, chart.BodyLine{From: b.From, To: b.To, Kind: "wrong"})
		}
	}
	return v, true
}

// pairOf are the points of what was compared: one, or the two of a pair.
func pairOf(b workshop.BodySurvey, id string) (left, right string) {
	for _, p := range b.Points {
		if p.Mirror != "" && p.ID+"-"+p.Mirror == id {
			return p.ID, p.Mirror
		}
	}
	return id, ""
}

func halves(sd []float64) []float64 {
	list := make([]float64, len(sd))
	for i, v := range sd {
		list[i] = ellipse95 * v
	}
	return list
}

func bodyState(verdict string) chart.BodyState {
	switch verdict {
	case survey.Pass:
		return chart.BodyWithin
	case survey.Fail:
		return chart.BodyBeyond
	}
	return chart.BodyOpen
}

// surveySaid is what a survey's readings say, for a page.
type surveySaid struct {
	workshop.Surveyed
	Figure   template.HTML // empty: nothing to draw
	Exagger  float64
	Mirrored bool
	Base     string // address of the survey to go on with; empty: it is kept
}

func newSurveySaid(said workshop.Surveyed, base string) *surveySaid {
	out := &surveySaid{Surveyed: said, Base: base}
	if v, ok := bodyView(said); ok {
		out.Figure, out.Exagger = chart.NewBodyView(v).HTML(), v.Exaggeration()
		out.Mirrored = said.Result.Against == survey.AgainstMirror
	}
	return out
}

// Against says what the points were held against.
func (s surveySaid) Against() string {
	switch s.Result.Against {
	case survey.AgainstNominal:
		from := s.Survey.NominalFrom
		if from == "" {
			from = "source not said"
		}
		return "the maker's places (" + from + ")"
	case survey.AgainstMirror:
		return "the other side of the car"
	}
	return "nothing"
}

// Groups are the sentences that say what has gone where; the reason of the verdict
// ends in them and stands without them then.
func (s surveySaid) Groups() []string {
	if s.Result == nil {
		return nil
	}
	return s.Result.Groups
}

// Lead is the reason of the verdict without the groups.
func (s surveySaid) Lead() string {
	lead := s.Why
	if g := s.Groups(); len(g) > 0 {
		if i := strings.Index(lead, ". "+strings.TrimSuffix(g[0], ".")); i > 0 {
			lead = lead[:i]
		}
	}
	return plusMinus.Replace(lead)
}

// plusMinus writes the engine's signs as a page does.
var plusMinus = strings.NewReplacer("+-", "±")

// mostWeak bounds the points that are told as not fixed.
const mostWeak = 8

// Weak are the points that the readings do not fix, the worst first.
func (s surveySaid) Weak() []survey.Weak { return s.Result.Weak[:min(mostWeak, len(s.Result.Weak))] }

// MoreWeak is how many points more are not fixed.
func (s surveySaid) MoreWeak() int { return len(s.Result.Weak) - len(s.Weak()) }

// Worst are all readings, those that fit worst first.
func (s surveySaid) Worst() []survey.Residual {
	list := slices.Clone(s.Result.Residuals)
	slices.SortStableFunc(list, func(a, b survey.Residual) int { return cmp.Compare(math.Abs(b.W), math.Abs(a.W)) })
	return list
}

// Off is by how much a reading is too long.
func (surveySaid) Off(r survey.Residual) string { return signedMm(-r.ResidualMm) }

// InDoubts is Off in doubts of the reading, with the same sign.
func (surveySaid) InDoubts(r survey.Residual) string { return signedMm(r.InDoubts()) }

// Remeasure is the address at which a reading is taken again; empty where the
// survey is kept.
func (s surveySaid) Remeasure(b survey.Blunder) string {
	if s.Base == "" {
		return ""
	}
	return s.Base + "/measure?" + url.Values{"kind": {b.Kind}, "from": {b.From}, "to": {b.To}}.Encode()
}

// Signed shows a length to a tenth with its sign.
func (surveySaid) Signed(v float64) string { return signedMm(v) }

// Half95 shows half of the interval that holds a length with 95 %.
func (surveySaid) Half95(sd float64) string { return fmt.Sprintf("%.1f", uncertain.HalfOf95*sd) }

// Tenths shows a length to a tenth.
func (surveySaid) Tenths(v float64) string { return fmt.Sprintf("%.1f", math.Abs(v)) }

func signedMm(v float64) string {
	return strings.Replace(fmt.Sprintf("%+.1f", v), "-", "−", 1)
}
