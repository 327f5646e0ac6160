package workshop

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"wreckwright/bench/recharge"
	"wreckwright/rebuild"
)

// recharged turns the engine's answer into what pages show and the book keeps.
func recharged(r recharge.Result) Recharged {
	out := Recharged{
		Verdict: rebuild.Verdict(r.Verdict), Why: r.Why, Reasons: r.Reasons, Next: adviceTexts(r.Next), Signs: r.Signs,
		Cycles: r.Cycles, Working: r.Working, Engine: r.Version, Result: &r,
	}
	out.Cautions, out.Notes = partCautions(r.Cautions)
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
		out.Figures = append(out.Figures, rebuild.EvidenceFigure{Name: chanceOf + cause.Name, Value: 100 * cause.Chance, Unit: "%"})
	}
	out.Figures = slices.DeleteFunc(out.Figures, boundless)
	slices.SortStableFunc(out.Causes, likelier)
	return out
}

func rechargedByStarts(r recharge.StartsResult) Recharged {
	out := Recharged{
		Verdict: rebuild.Verdict(r.Verdict), Why: r.Why, Reasons: r.Reasons, Next: adviceTexts(r.Next), Cycles: r.Cycles, Engine: r.Version,
		Figures: intervalFigures(r.Interval),
	}
	out.Cautions, out.Notes = partCautions(r.Cautions)
	return out
}

// partCautions parts what can hurt, which the engine says first, from what the
// answer rests on.
func partCautions(all []string) (cautions, notes []string) {
	n := min(1, len(all))
	return all[:n], all[n:]
}

// chanceOf begins the name of a figure that is the chance of a cause, in percent.
const chanceOf = "Chance: "

// PartChances parts the figures of a measurement from the chances of causes that
// were kept among them, the likeliest first.
func PartChances(all []rebuild.EvidenceFigure) (figures []rebuild.EvidenceFigure, chances []CauseChance) {
	for _, f := range all {
		if cause, ok := strings.CutPrefix(f.Name, chanceOf); ok {
			chances = append(chances, CauseChance{cause, f.Value / 100})
			continue
		}
		figures = append(figures, f)
	}
	slices.SortStableFunc(chances, likelier)
	return figures, chances
}

func likelier(a, b CauseChance) int { return cmp.Compare(b.Chance, a.Chance) }

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

// leading are the figures that a person looks at first, in their order.
var leading = []string{"Mean interval", "Pre-charge at 20 °C", "Leak", "Drop per actuation"}

// LeadingFigures are those of a measurement that a person looks at first.
func LeadingFigures(e *rebuild.Evidence) []rebuild.EvidenceFigure {
	switch e.Instrument {
	case rebuild.InstrumentCheck:
		return leadingChecked(e.Figures)
	case rebuild.InstrumentCodes:
		return e.Figures[:min(2, len(e.Figures))]
	case rebuild.InstrumentSurvey, rebuild.InstrumentQuickSurvey:
		return leadingSurvey(e.Figures)
	case rebuild.InstrumentAngles:
		return leadingAngled(e.Figures)
	case rebuild.InstrumentNoise:
		return leadingNoise(e.Figures)
	}
	return leadingOf(e.Figures)
}

func leadingOf(all []rebuild.EvidenceFigure) []rebuild.EvidenceFigure {
	var list []rebuild.EvidenceFigure
	for _, name := range leading {
		for _, f := range all {
			if f.Name == name {
				list = append(list, f)
			}
		}
	}
	return list
}

// Leading are the figures that a person looks at first.
func (r Recharged) Leading() []rebuild.EvidenceFigure { return leadingOf(r.Figures) }

// Plain are the figures without the chances, which Causes are.
func (r Recharged) Plain() []rebuild.EvidenceFigure {
	figures, _ := PartChances(r.Figures)
	return figures
}
