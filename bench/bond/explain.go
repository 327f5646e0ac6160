package bond

import (
	"fmt"
	"math"
)

// explain writes the working.
func (e *examined) explain() {
	w, l := &e.r.Working, e.lap
	first, second := "E1 t1", "E2 t2"
	if e.c.Layout == Double {
		second = "E2 t2 / 2: half of the part between"
	}
	w.Add("stiffness of the first part", first, l.First, "N/mm", "VOLKERSEN_1938 shear lag")
	w.Add("stiffness of the second part", second, l.Second, "N/mm", "VOLKERSEN_1938 shear lag")
	w.Add("decay of shear", "sqrt(G/h (1/(E1 t1) + 1/(E2 t2)))", l.Omega(), "1/mm", "VOLKERSEN_1938 shear lag")
	w.Add("average shear", "load / area of the laps", e.r.AverageMPa, "MPa", "VOLKERSEN_1938 shear lag")
	if e.r.WorstC != nil {
		w.Add("thermal strain at "+plain(*e.r.WorstC)+" °C", "(a1 - a2)(T - T of setting)", l.Strain, "", "SHIGLEY eq. 9-7")
		w.Add("thermal shear at the ends", "strain omega / (1/(E1 t1) + 1/(E2 t2)) tanh(omega L/2)", e.r.ThermalMPa, "MPa", "SHIGLEY eq. 9-7")
	}
	w.Add("peak shear", "P omega/(2 b) (coth(omega L/2) + |r| tanh(omega L/2)), thermal shear added", e.r.PeakMPa, "MPa", "VOLKERSEN_1938 shear lag")
	w.Add("strength of the sheet", "lap shear", e.c.Adhesive.ShearMPa, "MPa", "own estimate")
	for _, k := range e.r.KnockDowns {
		w.Add("share left: "+k.Name, "from the table", k.Share, "", k.Source)
	}
	w.Add("allowable shear", "strength x shares / factor of safety", e.r.AllowableMPa, "MPa", "DESIGN_BOND knock-downs")
	w.Add("margin", "allowable / peak", e.r.Margin, "", "DESIGN_BOND thresholds")
	w.Add("overlap that gives 95 % of what any length can", "2/omega atanh(t), 1/t + |r| t = (1 + |r|)/0.95", e.r.EnoughMm, "mm", "VOLKERSEN_1938 shear lag")
	w.Add("overlap beyond which nothing is gained", "6/omega", e.r.NoMoreMm, "mm", "VOLKERSEN_1938 shear lag")
	if u := e.r.Cure; u != nil && u.Cures {
		w.Add("cure in the workshop", u.Why, u.Hours, "h", "ARRHENIUS_1889 rate and temperature")
	}
}

// warn says what a figure alone does not.
func (e *examined) warn() {
	add := func(text string, args ...any) { e.r.Cautions = append(e.r.Cautions, fmt.Sprintf(text, args...)) }
	add("only for what may fall off without hurting anybody; nothing on which somebody's safety hangs is bonded at home")
	if e.c.Layout == Single {
		add("a lap on one side bends under load and peels at its ends: taper the ends, leave the squeezed-out fillet, and let a rivet or screw at each end stop the peel")
	}
	if e.c.OverlapMm > e.r.NoMoreMm {
		add("beyond %s mm of overlap nothing is gained: the ends carry the load", plain(math.Ceil(e.r.NoMoreMm)))
	}
	if low := math.Min(e.r.EndsMPa[0], e.r.EndsMPa[1]); low < 0 {
		add("heat strains the bond by itself: one end is sheared the other way with %s MPa", short(-low))
	}
	e.r.Cautions = append(e.r.Cautions, e.family.Cautions...)
	e.r.Hazards = append(e.r.Hazards, e.family.Hazards...)
	if e.r.Cure != nil {
		add("the pot life of a mixed mass is shorter than that of the film: it heats itself")
	}
	add("clean, abrade, clean again, bond within the hour; a bond that falls off clean from one face was badly prepared")
}
