package workshop

import (
	"context"

	"wreckwright/bench/angles"
	"wreckwright/bench/survey"
	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// drawn is the drawing of a measurement that has one with what belongs to it, worked
// out anew from its raw readings; nil where it has none, or where they give none any
// more.
func (t *telling) drawn(ctx context.Context, e *rebuild.Evidence) []buildfile.Block {
	switch e.Instrument {
	case rebuild.InstrumentSurvey:
		said, err := t.shop.SurveyAt(ctx, e)
		if err != nil || said.Result == nil {
			return nil
		}
		blocks := t.surveyBlocks(said)
		if before := SurveyBefore(t.r, e); before != nil {
			if was, err := t.shop.SurveyAt(ctx, before); err == nil && was.Result != nil {
				blocks = append(blocks, t.surveyPull(before, was, said)...)
			}
		}
		return blocks
	case rebuild.InstrumentAngles:
		said, err := t.shop.AnglesKept(ctx, e)
		if err != nil {
			return nil
		}
		plot := wheelPlotOf(said.Result)
		return []buildfile.Block{{Wheels: &plot}}
	}
	return nil
}

// bodyPlotOf is a survey to be drawn. A pair that is not in mirror symmetry has no
// arrow: which of its points moved is not known.
func bodyPlotOf(r survey.Result) buildfile.BodyPlot {
	moved := map[string]*[3]float64{}
	for _, m := range r.Moved {
		moved[m.ID] = &[3]float64{m.DX, m.DY, m.DZ}
	}
	var plot buildfile.BodyPlot
	for _, p := range r.Points {
		plot.Points = append(plot.Points, buildfile.BodyPoint{ID: p.ID, X: p.X, Y: p.Y, Z: p.Z, Moved: moved[p.ID]})
	}
	return plot
}

// wheelPlotOf is a measurement of wheel angles to be drawn.
func wheelPlotOf(r angles.Result) buildfile.WheelPlot {
	plot := buildfile.WheelPlot{Wheels: map[string]buildfile.WheelStand{}, Thrust: r.Thrust}
	for key, w := range r.Wheels {
		plot.Wheels[key] = buildfile.WheelStand{Toe: w.Toe, ToeSD: w.ToeSD, Camber: w.Camber, CamberSD: w.CamberSD}
	}
	return plot
}
