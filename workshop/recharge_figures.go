package workshop

import (
	"cmp"
	"math"
	"slices"

	"wreckwright/bench/recharge"
	"wreckwright/rebuild"
)

// recharged turns the engine's answer into what pages show and the book keeps.
func recharged(r recharge.Result) Recharged {
	out := Recharged{
		Verdict: rebuild.Verdict(r.Verdict), Why: r.Why, Next: adviceTexts(r.Next), Signs: r.Signs, Cautions: r.Cautions,
		Cycles: r.Cycles, Working: r.Working, Engine: r.Version, Result: &r,
	}
	c := r.Causes
	out.Causes = []CauseChance{
		{"nothing wrong", c.Normal},
		{"gas lost from the accumulator", c.GasLoss},
		{"an internal leak (valve or seal)", c.InternalLeak},
		{"an external leak", c.ExternalLeak},
		{"a weak pump", c.WeakPump},
		{"air in the fluid", c.Air},
		{"the pressure sensor", c.Sensor},
	}
	out.Figures = append(intervalFigures(r.Interval), pressureFigures(r)...)
	for _, cause := range out.Causes {
		out.Figures = append(out.Figures, rebuild.EvidenceFigure{Name: "Chance: " + cause.Name, Value: 100 * cause.Chance, Unit: "%"})
	}
	out.Figures = slices.DeleteFunc(out.Figures, boundless)
	slices.SortStableFunc(out.Causes, func(a, b CauseChance) int { return cmp.Compare(b.Chance, a.Chance) })
	return out
}

func rechargedByStarts(r recharge.StartsResult) Recharged {
	return Recharged{
		Verdict: rebuild.Verdict(r.Verdict), Why: r.Why, Next: adviceTexts(r.Next), Cautions: r.Cautions, Cycles: r.Cycles, Engine: r.Version,
		Figures: intervalFigures(r.Interval),
	}
}

func adviceTexts(list []recharge.Advice) []string {
	out := make([]string, len(list))
	for i, a := range list {
		out[i] = a.Text
	}
	return out
}

// boundless reports a figure that no number can be written for: what readings
// bound on one side only.
func boundless(f rebuild.EvidenceFigure) bool {
	for _, v := range []*float64{&f.Value, f.Low, f.High} {
		if v != nil && (math.IsNaN(*v) || math.IsInf(*v, 0)) {
			return true
		}
	}
	return false
}

// intervalFigures are the settled interval and how many there are of it.
func intervalFigures(i recharge.Interval) []rebuild.EvidenceFigure {
	figures := []rebuild.EvidenceFigure{{Name: "Settled intervals", Value: float64(i.N)}}
	if i.MeanS != nil {
		figures = append([]rebuild.EvidenceFigure{{Name: "Mean interval", Value: *i.MeanS, Low: i.LowS, High: i.HighS, Unit: "s"}}, figures...)
	}
	return figures
}

// pressureFigures are the figures of a unit beyond the interval, as far as the
// readings gave them.
func pressureFigures(r recharge.Result) []rebuild.EvidenceFigure {
	var figures []rebuild.EvidenceFigure
	plain := func(name string, v *float64, unit string) {
		if v != nil {
			figures = append(figures, rebuild.EvidenceFigure{Name: name, Value: *v, Unit: unit})
		}
	}
	bounded := func(name string, e *recharge.Estimate, unit string) {
		if e != nil {
			low, high := e.Low, e.High
			figures = append(figures, rebuild.EvidenceFigure{Name: name, Value: e.Value, Low: &low, High: &high, Unit: unit})
		}
	}
	plain("Cut-in", r.CutInBar, "bar")
	plain("Cut-out", r.CutOutBar, "bar")
	if s := r.Settle; s != nil {
		bounded("Fall by cooling", &recharge.Estimate{Value: s.DropBar, Low: s.DropLow, High: s.DropHigh}, "bar")
		bounded("Time constant of cooling", &recharge.Estimate{Value: s.TimeConstantS, Low: s.TimeLowS, High: s.TimeHighS}, "s")
	}
	bounded("Leak", r.LeakBarPerMin, "bar/min")
	bounded("Leak, as volume", r.LeakMlPerMin, "mL/min")
	bounded("Pre-charge", r.PrechargeBar, "bar")
	bounded("Pre-charge at 20 °C", r.PrechargeAt20CBar, "bar")
	bounded("Pump's flow", r.PumpMlPerS, "mL/s")
	plain("Drop per actuation", r.DropPerActuationBar, "bar")
	if r.Duty != nil {
		share := 100 * *r.Duty
		plain("Share of the time that the pump runs", &share, "%")
	}
	return figures
}
