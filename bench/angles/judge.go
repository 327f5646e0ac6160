package angles

import (
	"fmt"
	"strings"

	"wreckwright/uncertain"
)

// risk is the chance of a wrong verdict that is borne, as for any check.
const risk = 0.05

// judge holds every wanted figure that was measured against its limits; missing
// names those that were not.
func judge(c *Case, f, sd figures) (checks []CheckResult, missing []string) {
	add := func(where, what, name string, l Limits) {
		if !f.has(name) {
			missing = append(missing, where+" "+plainName(what))
			return
		}
		checks = append(checks, examineLimit(where, what, f[name], sd[name], l))
	}
	for axle, name := range axleNames {
		for _, what := range wheelQuantities {
			if l, ok := c.Want[axle][what]; ok {
				for _, n := range []Corner{Corner(2 * axle), Corner(2*axle + 1)} {
					add(n.String(), what, n.String()+"."+what, l)
				}
			}
		}
		for _, what := range axleQuantities {
			if l, ok := c.Want[axle][what]; ok {
				add(name, what, name+"."+what, l)
			}
		}
	}
	if c.Thrust != nil {
		add("car", "thrust_deg", "thrust_deg", *c.Thrust)
	}
	if c.TurnsWant != nil {
		for _, side := range turnNames {
			add("steering held "+side, "toe_out_deg", "turn."+side+".toe_out_deg", *c.TurnsWant)
		}
	}
	if c.Cross != nil {
		add("car", "cross_percent", "cross_percent", *c.Cross)
	}
	return checks, missing
}

// examineLimit is the chance that a figure lies within its limits, and what
// follows from it.
//
// ref: JCGM_106 7.3
func examineLimit(where, what string, value, sd float64, l Limits) CheckResult {
	r := CheckResult{Where: where, What: what, Value: value, SD: sd, Low: l.Low, High: l.High, Verdict: CannotTell}
	switch {
	case sd > 0:
		r.Chance = uncertain.NormalCDF((l.High-value)/sd) - uncertain.NormalCDF((l.Low-value)/sd)
	case value >= l.Low && value <= l.High:
		r.Chance = 1
	}
	switch {
	case r.Chance >= 1-risk:
		r.Verdict = Pass
	case r.Chance <= risk:
		r.Verdict = Fail
	}
	return r
}

// unitOf is the unit in a name.
func unitOf(what string) string {
	switch {
	case strings.HasSuffix(what, "_mm"):
		return "mm"
	case strings.HasSuffix(what, "_percent"):
		return "%"
	}
	return "deg"
}

func plainName(what string) string {
	for _, unit := range []string{"_deg", "_mm", "_percent"} {
		what = strings.TrimSuffix(what, unit)
	}
	return strings.ReplaceAll(what, "_", " ")
}

// words tells a check.
func (r CheckResult) words() string {
	return fmt.Sprintf("%s %s %+.2f +- %.2f %s (95 %%), wanted %g to %g", r.Where, plainName(r.What), r.Value, uncertain.HalfOf95*r.SD, unitOf(r.What), r.Low, r.High)
}

// verdictOf is the worst of all, with its reason.
func verdictOf(checks []CheckResult, missing []string) (verdict, why string) {
	of := map[string][]string{}
	for _, r := range checks {
		of[r.Verdict] = append(of[r.Verdict], r.words())
	}
	notMeasured := ""
	if len(missing) > 0 {
		notMeasured = "; not measured: " + strings.Join(missing, ", ")
	}
	switch {
	case len(of[Fail]) > 0:
		why = "outside its limits: " + strings.Join(of[Fail], "; ")
		if len(of[CannotTell]) > 0 {
			why += "; too near to a limit for the doubt: " + strings.Join(of[CannotTell], "; ")
		}
		return Fail, why + notMeasured
	case len(of[CannotTell]) > 0:
		return CannotTell, "too near to a limit for the doubt: " + strings.Join(of[CannotTell], "; ") +
			"; read again with less doubt (finer instrument, or the mean of several)" + notMeasured
	case len(missing) > 0:
		return CannotTell, strings.TrimPrefix(notMeasured, "; ")
	case len(checks) == 0:
		return CannotTell, "no limits were given: enter the maker's under want, with their source"
	}
	return Pass, fmt.Sprintf("all %d figures lie within their limits with a chance of %g %% or more each", len(checks), 100*(1-risk))
}
