package joint

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Thresholds of the verdict; docs/decisions argues them.
//
// ref: DESIGN_JOINT thresholds
const (
	// leastShare of the proof force is the least preload that counts as tight:
	// the usual 0.75 leaves 0.5 at the worst of a wrench's scatter, and a fifth
	// of that is lost to embedding.
	leastShare = 0.40
	// leastSeatShare is that on a conical seat. Usual figures of makers for wheels
	// leave a fifth to a half of the proof force there, for a cone rubs about twice
	// as much as a flat face; half of the least of that is loose by any reckoning.
	// From here to leastShare the maker's figure governs.
	leastSeatShare = 0.10
	// hubMm is the size from which a fine thread is likely a hub (axle) nut's: the
	// shaft gives the size there and the bearing the torque, so that little of the
	// thread's strength is used and the maker's figure governs as on a wheel.
	hubMm = 18
	// mostUse of the yield strength at the preload itself.
	mostUse = 1.0
	// mostUseAtEnd of it at the slippery end: the yield of a class is its
	// guaranteed least, and the slipperiest joint seldom meets the weakest bolt.
	mostUseAtEnd = 1.05
	// mostStretch of the grip that a bolt may keep from being turned past yield.
	mostStretch = 0.02
)

// misfit is what is said where no friction explains a specification.
const misfit = "this specification does not fit this bolt: check that grade and lubrication are right"

// stateOf is the state of a preload in that thread under that head without its
// doubt.
func stateOf(h Head, t Thread, share, use float64) State {
	switch {
	case use > mostUse:
		return OverYield
	case share < leastOf(h, t):
		return UnderTightened
	case share < leastShare:
		return MakerGoverns
	}
	return Fair
}

// leastOf is the share of the proof force below which it is loose.
func leastOf(h Head, t Thread) float64 {
	if h.SeatDeg > 0 || t.hub() {
		return leastSeatShare
	}
	return leastShare
}

// hub tells a thread that is likely that of a hub nut.
func (t Thread) hub() bool { return t.DiameterMm >= hubMm && (t.Series == "fine" || t.Series == "UNF") }

// judge gives state, verdict and reason: fail where the value itself is out, can
// not tell where it is in and an end is out.
func (e *examined) judge() {
	var why []string
	e.r.State, e.r.Verdict, why = e.bolt()
	for _, part := range []func() (Verdict, string){e.judgeThread, e.judgeFace, e.judgeLoad} {
		verdict, text := part()
		if worse(verdict, e.r.Verdict) {
			e.r.Verdict = verdict
		}
		if text != "" {
			why = append(why, text)
		}
	}
	e.r.Why = strings.Join(why, "; ")
}

func worse(a, b Verdict) bool {
	rank := map[Verdict]int{Pass: 0, CannotTell: 1, Fail: 2}
	return rank[a] > rank[b]
}

// bolt judges the bolt's stretch.
func (e *examined) bolt() (State, Verdict, []string) {
	if e.r.Angle != nil && e.r.Angle.PastYield {
		return e.pastYield()
	}
	use, share := e.r.Utilisation, e.r.Shares
	preload := fmt.Sprintf("%s kN (%s to %s) is %s of the proof force, and %s of the yield strength is used while turning",
		short(e.r.Preload.Value), short(e.r.Preload.Low), short(e.r.Preload.High), percent(share.Value), percent(use.Value))
	least := leastOf(e.contact.Head, e.r.Thread)
	state := stateOf(e.contact.Head, e.r.Thread, share.Value, use.Value)
	switch {
	case use.Low > mostUse || e.r.Preload.Value > e.r.TensileKN:
		return DoesNotFit, Fail, []string{misfit, preload + fmt.Sprintf("; it tears at %s kN", short(e.r.TensileKN))}
	case state == OverYield:
		return state, Fail, []string{"over yield: " + preload}
	case share.High < least:
		return DoesNotFit, Fail, []string{misfit, preload + "; even the slipperiest joint of this kind stays loose"}
	case state == UnderTightened:
		return state, Fail, []string{fmt.Sprintf("under-tightened: %s; at least %s of the proof force is wanted", preload, percent(least))}
	case state == MakerGoverns:
		return state, CannotTell, append([]string{"the maker's figure governs: " + preload + "; " + e.governedBy()}, e.ends()...)
	}
	if ends := e.ends(); len(ends) > 0 {
		return Fair, CannotTell, append([]string{"fair as reckoned: " + preload}, ends...)
	}
	return Fair, Pass, []string{"fair at both ends: " + preload}
}

// governedBy is why the strength of the thread is no yardstick.
func (e *examined) governedBy() string {
	if e.contact.Head.SeatDeg > 0 {
		return "a conical seat rubs about twice as much as a flat face, and how much is not known well"
	}
	return "a hub nut's thread is as thick as its shaft and the bearing sets its torque; on another joint this is under-tightened"
}

// ends are the ends of the range that are out.
func (e *examined) ends() (list []string) {
	use, share := e.r.Utilisation, e.r.Shares
	reaches := e.r.Angle != nil && use.High >= mostUse-1e-9
	if use.High > mostUseAtEnd || reaches {
		list = append(list, fmt.Sprintf("at the slippery end it goes over yield (%s used)", percent(use.High)))
		if e.r.MostNm > 0 && e.r.MostNm < e.r.Torque.Value {
			list[0] += fmt.Sprintf("; up to %s N·m it stays within", downTo(e.r.MostNm))
		}
	}
	if share.Low < leastShare-1e-9 && share.Value >= leastShare {
		list = append(list, fmt.Sprintf("at the rough end only %s of the proof force is left", percent(share.Low)))
	}
	return list
}

// pastYield judges a bolt that the angle takes past yield.
func (e *examined) pastYield() (State, Verdict, []string) {
	a := e.r.Angle
	text := fmt.Sprintf("the bolt yields after %s of the %s degrees, at %s kN", short(a.YieldsAtDeg), plain(a.AngleDeg), short(e.r.Preload.Value))
	switch {
	case !e.c.NewBolt:
		return OverYield, Fail, []string{"over yield: " + text + "; only where the maker turns this bolt past yield is that right, and then with a new bolt each time"}
	case e.c.GripMm == 0:
		return OverYield, CannotTell, []string{text + "; without the grip nobody can tell how far it is stretched"}
	case a.StretchOfGrip > mostStretch:
		return OverYield, Fail, []string{fmt.Sprintf("%s, and is stretched by %s of its grip, more than %s", text, percent(a.StretchOfGrip), percent(mostStretch))}
	}
	return Fair, Pass, []string{fmt.Sprintf("%s, as the maker means it to, and keeps a stretch of %s mm: new bolt each time", text, short(a.StretchMm))}
}

func (e *examined) judgeThread() (Verdict, string) {
	g := e.r.Engagement
	switch {
	case g == nil:
		return Pass, ""
	case e.r.Preload.Value > g.StripsKN:
		e.r.State = Strips
		return Fail, fmt.Sprintf("the thread strips: %s mm in %s hold %s kN; %s mm are wanted", plain(g.LengthMm), g.Into, short(g.StripsKN), upTo(g.EnoughMm))
	case e.r.Preload.High > g.StripsKN:
		return CannotTell, fmt.Sprintf("at the slippery end the thread strips: %s mm in %s hold %s kN; %s mm are wanted", plain(g.LengthMm), g.Into, short(g.StripsKN), upTo(g.EnoughMm))
	}
	return Pass, ""
}

func (e *examined) judgeFace() (Verdict, string) {
	if b := e.r.Pressure; b != nil && !b.Within && e.c.Material != "" {
		return CannotTell, fmt.Sprintf("the face under the head is pressed with %s MPa and %s bears %s: it settles and the preload goes; a hard washer or a flange head spreads it", short(b.PressureMPa), b.Material, short(b.LimitMPa))
	}
	return Pass, ""
}

func (e *examined) judgeLoad() (Verdict, string) {
	l := e.r.Load
	switch {
	case l == nil:
		return Pass, ""
	case l.Separated:
		return Fail, fmt.Sprintf("the joint opens under %s kN: it does so from %s kN on, and the bolt then carries all of it", short(l.LoadKN), short(l.SeparatesKN))
	case l.BoltKN > e.r.ProofKN:
		return Fail, fmt.Sprintf("under %s kN the bolt carries %s kN, more than its proof force", short(l.LoadKN), short(l.BoltKN))
	case l.AtLowestKN <= 0:
		return CannotTell, fmt.Sprintf("with the lowest preload the joint opens under %s kN", short(l.LoadKN))
	}
	return Pass, ""
}

// short writes a figure in three digits.
func short(x float64) string {
	switch size := math.Abs(x); {
	case size >= 1000:
		return strconv.FormatFloat(x, 'f', 0, 64)
	case size > 0 && size < 1e-3:
		return strconv.FormatFloat(x, 'g', 3, 64)
	}
	return strconv.FormatFloat(figures(x, 3), 'f', -1, 64)
}

func percent(x float64) string { return strconv.FormatFloat(100*x, 'f', 0, 64) + " %" }

// downTo writes a largest value so that rounding does not raise it, upTo a
// smallest one so that it does not lower it.
func downTo(x float64) string { return plain(stepped(x, math.Floor)) }
func upTo(x float64) string   { return plain(stepped(x, math.Ceil)) }

func stepped(x float64, round func(float64) float64) float64 {
	step := 1.0
	if x < 20 {
		step = 10
	}
	return round(x*step) / step
}
