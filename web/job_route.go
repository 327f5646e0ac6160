package web

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"wreckwright/chart"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// routeCard is one way to do a job, as its page shows it.
type routeCard struct {
	workshop.RouteView
	Kind, Method string
	Figure       template.HTML
	HasFigure    bool
	HasHours     bool
	MayFail      bool
	Words        []string // when it pays
}

// routeCards lays the routes side by side on one scale, and says how to read it.
func routeCards(frame Frame, job *rebuild.Job, views []workshop.RouteView) (cards []routeCard, scale string) {
	money := frame.drawnMoney()
	ranges := make([]chart.Range, len(views))
	for i, v := range views {
		ranges[i] = chart.Range{
			Name: v.Route.Name, Low: v.Doubt.Low, Likely: v.Doubt.Likely, High: v.Doubt.High,
			Expected: v.Total, Reference: job.Reference.Float(), Chosen: v.Chosen,
		}
	}
	low, high := chart.SharedScale(ranges)
	for i, v := range views {
		card := routeCard{RouteView: v, Kind: kindNames[v.Route.Kind], MayFail: v.Route.Works < 1 && v.Route.Fallback != nil}
		if v.Route.Method != rebuild.MethodPlain {
			card.Method = strings.ToLower(methodNames[v.Route.Method])
		}
		card.HasFigure = v.Total > 0 || v.Doubt.High > 0 || v.Route.Kind == rebuild.Leave
		card.HasHours = v.Hours > 0
		head := chart.Head{ID: "route-" + strconv.FormatInt(v.Route.ID, 10), Title: "What “" + v.Route.Name + "” may cost"}
		card.Figure = chart.NewRangeBar(head, money, ranges[i], low, high).SVG(chart.Phone)
		card.Words = worthWords(frame, v)
		cards = append(cards, card)
	}
	return cards, scaleWords(frame, job, low, high)
}

func scaleWords(frame Frame, job *rebuild.Job, low, high float64) string {
	words := fmt.Sprintf("All bars run from %s to %s: low to high, the stroke is the likely figure, the dot the expected one", frame.Whole(low), frame.Whole(high))
	if job.Reference.Minor > 0 {
		words += ", the fork the reference price"
	}
	return words + "."
}

// worthWords says when it pays to go this route first, in words that need no
// formula.
func worthWords(frame Frame, v workshop.RouteView) []string {
	b := v.BreakEven
	if b == nil || !v.Usable() {
		return nil
	}
	kind, believed := kindNames[v.Route.Kind], times(v.Route.Works)
	var words []string
	switch {
	case b.Works <= 0:
		words = append(words, fmt.Sprintf("%s first costs less than “%s” whether it works or not.", kind, b.Rival))
	case b.Works >= 1:
		words = append(words, fmt.Sprintf("%s first does not pay: “%s” costs less even if this is certain to work.", kind, b.Rival))
	default:
		words = append(words, fmt.Sprintf("%s first pays as long as you believe it works more than %s times in 100; you say %s. Otherwise “%s” costs less.", kind, times(b.Works), believed, b.Rival))
	}
	if frame.Rebuild != nil && b.TestWorth >= 1 {
		words = append(words, fmt.Sprintf("To know beforehand whether it works would be worth up to %s.", frame.Whole(b.TestWorth)))
	}
	return words
}

// times is a chance as so many times in a hundred, without the ends that it has
// not reached.
func times(p float64) string {
	n := int(math.Round(p * 100))
	if p > 0 {
		n = max(n, 1)
	}
	if p < 1 {
		n = min(n, 99)
	}
	return strconv.Itoa(n)
}
