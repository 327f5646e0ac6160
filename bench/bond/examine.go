package bond

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"wreckwright/working"
)

// Thresholds; docs/decisions argues them.
//
// ref: DESIGN_BOND thresholds
const (
	enoughShare = 0.95
	noMoreOmega = 6
	// oneSided is the margin that a lap on one side wants, since it bends and
	// peels, and neither is reckoned.
	oneSided = 1.5
)

// Margin is allowable over peak.
func Margin(allowableMPa, peakMPa float64) float64 { return allowableMPa / peakMPa }

// examined is a bond while it is worked through.
type examined struct {
	c      Case
	tables Tables
	r      Result
	family Family
	lap    Lap // under the load, at the worst temperature
}

// Examine works a bond through. The error is an [*InputError] or a [*Refusal].
func Examine(c Case, tables Tables) (Result, error) {
	if c.Layout == "" {
		c.Layout = Single
	}
	if c.Factor == 0 {
		c.Factor = DefaultFactor
	}
	if err := c.refuse(); err != nil {
		return Result{}, err
	}
	if err := c.check(); err != nil {
		return Result{}, err
	}
	e := examined{c: c, tables: tables, r: Result{Holds: c.Holds, Layout: c.Layout, Factor: c.Factor, Cautions: []string{}, Hazards: []string{}, Working: working.Working{}}}
	if err := e.allow(); err != nil {
		return Result{}, err
	}
	e.stress()
	e.lengths()
	if c.Cure != nil {
		e.r.Cure = c.Cure.reckon()
	}
	e.judge()
	e.explain()
	e.warn()
	return e.r, nil
}

// allow takes the strength of the sheet down.
func (e *examined) allow() error {
	preparation, err := find("preparation", e.c.Preparation, e.tables.Preparations)
	if err != nil {
		return err
	}
	service, err := find("service", e.c.Service, e.tables.Services)
	if err != nil {
		return err
	}
	heat, err := e.tables.heat(e.c.HottestC)
	if err != nil {
		return err
	}
	if e.family, err = e.tables.family(e.c.Adhesive.Kind); err != nil {
		return err
	}
	share := 1.0
	for _, k := range []Knock{preparation, heat, service} {
		e.r.KnockDowns = append(e.r.KnockDowns, KnockDown{k.Name, k.Share, k.Source})
		share *= k.Share
	}
	e.r.AllowableMPa = e.c.Adhesive.ShearMPa * share / e.c.Factor
	return nil
}

func find(where, key string, rows []Knock) (Knock, error) {
	var known []string
	for _, k := range rows {
		if strings.EqualFold(k.Key, key) {
			return k, nil
		}
		known = append(known, k.Key)
	}
	return Knock{}, wrong(where, "one of "+strings.Join(known, ", "), "%q is not known here", key)
}

func (t Tables) heat(hottest float64) (Knock, error) {
	most := math.Inf(-1)
	for _, k := range t.Temperatures {
		if hottest <= k.UpToC {
			return k, nil
		}
		most = math.Max(most, k.UpToC)
	}
	return Knock{}, wrong("hottest_c", "at most "+plain(most)+" °C", "at %s °C no adhesive of the workshop is trusted", plain(hottest))
}

func (t Tables) family(key string) (Family, error) {
	var known []string
	for _, f := range t.Adhesives {
		if strings.EqualFold(f.Key, key) {
			return f, nil
		}
		known = append(known, f.Key)
	}
	return Family{}, wrong("adhesive.kind", "one of "+strings.Join(known, ", "), "%q is no kind of adhesive known here", key)
}

// stress works the shear out, at whichever temperature is worst.
func (e *examined) stress() {
	c := e.c
	l := Lap{
		First: 1000 * c.First.ModulusGPa * c.First.ThicknessMm, Second: 1000 * c.Second.ModulusGPa * c.Second.ThicknessMm,
		Bond: 1000 * c.Adhesive.ShearGPa / c.BondMm, Overlap: c.OverlapMm, Load: c.LoadN / c.WidthMm,
	}
	e.r.AreaMm2 = c.WidthMm * c.OverlapMm
	e.r.PartsMPa = [2]float64{c.LoadN / (c.WidthMm * c.First.ThicknessMm), c.LoadN / (c.WidthMm * c.Second.ThicknessMm)}
	if c.Layout == Double {
		l.Second, l.Load = l.Second/2, l.Load/2
		e.r.AreaMm2 *= 2
		e.r.PartsMPa[0] /= 2
	}
	e.lap = e.worst(l)
	e.r.OmegaPerMm, e.r.OmegaL = l.Omega(), l.Omega()*l.Overlap
	e.r.AverageMPa, e.r.PeakMPa = l.Average(), e.lap.Peak()
	e.r.Ratio = e.r.PeakMPa / e.r.AverageMPa
	e.r.EndsMPa[0], e.r.EndsMPa[1] = e.lap.Ends()
	e.r.MiddleMPa = e.lap.Shear(0)
	e.r.ThermalMPa = math.Abs(e.lap.thermal(l.Overlap / 2))
	e.r.Margin = Margin(e.r.AllowableMPa, e.r.PeakMPa)
}

// worst is a lap at the temperature at which its peak is the largest.
func (e *examined) worst(l Lap) Lap {
	c := e.c
	if c.First.ExpansionPerK == nil || c.StressFreeC == nil {
		return l
	}
	worst := l
	temperatures := []float64{c.HottestC}
	if c.ColdestC != nil {
		temperatures = append(temperatures, *c.ColdestC)
	}
	for i, at := range temperatures {
		hot := l
		hot.Strain = (*c.First.ExpansionPerK - *c.Second.ExpansionPerK) * (at - *c.StressFreeC)
		if i == 0 || hot.Peak() > worst.Peak() {
			worst = hot
			e.r.WorstC = &temperatures[i]
		}
	}
	return worst
}

// lengths are the overlaps worth making.
func (e *examined) lengths() {
	bare := e.lap
	bare.Strain = 0
	e.r.EnoughMm = bare.Enough(enoughShare)
	e.r.NoMoreMm = noMoreOmega / bare.Omega()
	if e.lap.Strain == 0 {
		if needed, ok := bare.Needed(e.r.AllowableMPa / e.wanted()); ok {
			e.r.NeededMm = &needed
		}
	}
	e.r.MostN = e.c.LoadN * math.Max(0, e.r.AllowableMPa/e.wanted()-e.r.ThermalMPa) / bare.Peak()
}

// wanted is the margin of a pass.
func (e *examined) wanted() float64 {
	if e.c.Layout == Single {
		return oneSided
	}
	return 1
}

// judge gives the verdict.
func (e *examined) judge() {
	text := fmt.Sprintf("the peak of shear is %s MPa (%s on average) and %s MPa are allowed", short(e.r.PeakMPa), short(e.r.AverageMPa), short(e.r.AllowableMPa))
	switch {
	case e.r.Cure != nil && !e.r.Cure.Cures:
		e.r.Verdict, e.r.Why = Fail, e.r.Cure.Why
		if e.c.Cure.LeastC == nil {
			e.r.Verdict = CannotTell
		}
	case e.r.Margin < 1:
		e.r.Verdict, e.r.Why = Fail, "overloaded: "+text+"; "+e.remedy()
	case e.r.Margin < e.wanted():
		e.r.Verdict, e.r.Why = CannotTell, text+"; a lap on one side bends and peels, which is not reckoned: a margin of "+plain(oneSided)+" is wanted there, or a splint on both sides"
	default:
		e.r.Verdict, e.r.Why = Pass, text
	}
}

// remedy says what would help.
func (e *examined) remedy() string {
	if e.r.ThermalMPa >= e.r.AllowableMPa {
		return fmt.Sprintf("the parts growing unequally take %s MPa by themselves: a softer or thicker bond, or parts of one material", short(e.r.ThermalMPa))
	}
	if n := e.r.NeededMm; n != nil && *n > e.c.OverlapMm {
		return fmt.Sprintf("an overlap of %s mm would be enough", plain(math.Ceil(*n)))
	}
	return "no length of overlap is enough: make it wider, take a softer or stronger adhesive, a thicker bond or stiffer parts, or splint both sides"
}

func short(x float64) string {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 2, 64), 64)
	if err != nil {
		return plain(x)
	}
	return plain(y)
}
