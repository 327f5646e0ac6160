package survey

import (
	"fmt"
	"math"
	"strings"
)

func (e *examination) verdict() {
	count := map[string][]string{}
	for _, c := range e.r.Compared {
		count[c.Verdict] = append(count[c.Verdict], c.ID)
	}
	tolerance := fmt.Sprintf("+-%g mm", e.c.ToleranceMm)
	switch {
	case len(e.a.loose) > 0:
		e.r.Verdict, e.r.Why = CannotTell, "the readings leave the shape loose at "+names(e.ofPoints(e.a.loose))+": measure what is proposed"
	case e.a.dof <= 0:
		e.r.Verdict, e.r.Why = CannotTell, "no reading checks another: measure more lines than the shape needs"
	case e.hopeless:
		e.r.Verdict, e.r.Why = CannotTell, "no shape was found that most readings fit: read the height of every point over one level plane, each twice, or give the nominal points"
	case !e.a.fits():
		e.r.Verdict, e.r.Why = CannotTell, fmt.Sprintf("the readings contradict one another (%.4g against at most %.4g) and no single one explains it: measure again", e.r.Chi2.Value, e.r.Chi2.High)
	case !e.done:
		e.r.Verdict, e.r.Why = CannotTell, "the readings agree, but there is nothing to compare the shape with: give nominal points, or three pairs or more"
	case e.r.Against == AgainstMirror && e.folds():
		e.r.Verdict, e.r.Why = CannotTell, "distances alone leave the heights open and several shapes fit them: read the height of every point, each twice"
	case e.r.Against == AgainstMirror && 2*len(e.twins) > len(e.n.ids):
		e.r.Verdict, e.r.Why = CannotTell, "several shapes fit the readings: "+names(e.ofPoints(e.twins))+" may stand as well on the other side of their neighbours; read their heights"
	case len(count[Fail]) > 0:
		e.r.Verdict, e.r.Why = Fail, fmt.Sprintf("beyond %s even with the doubt: %s", tolerance, names(count[Fail]))
	case len(e.r.Moved) > 0:
		e.r.Verdict, e.r.Why = CannotTell, fmt.Sprintf("%s moved, but the doubt reaches into %s", names(ofMoved(e.r.Moved)), tolerance)
	case len(count[CannotTell]) > 0:
		e.r.Verdict, e.r.Why = CannotTell, fmt.Sprintf("no point is seen to have moved, but the doubt of %s reaches beyond %s", names(count[CannotTell]), tolerance)
	default:
		e.r.Verdict, e.r.Why = Pass, fmt.Sprintf("all %d within %s, doubt included", len(e.r.Compared), tolerance)
	}
	if len(e.r.Groups) > 0 && e.done {
		e.r.Why += ". " + strings.TrimSuffix(strings.Join(e.r.Groups, " "), ".")
	}
	e.noteHeights()
	if len(e.twins) > 0 {
		e.note("The readings do not settle on which side of its neighbours' plane stands: " + names(e.ofPoints(e.twins)) + ". Read the height, or measure to a point well out of that plane.")
	}
	if len(e.loosely) > 0 {
		e.note("By distances alone these come out off their places, but the readings fit them at their places too: " + names(e.ofPoints(e.loosely)) + ". Read their heights before believing it.")
	}
	if e.done && !e.result.agreeing {
		e.note("The points that stand still differ from their reference by more than the build scatter entered: enter a larger sd, or the damage is spread over the body.")
	}
}

// noteHeights warns of a movement that a misread height would feign.
func (e *examination) noteHeights() {
	if !e.done || e.a.net.dims < 3 || !e.a.net.hasHeights() {
		return
	}
	alone := e.unchecked()
	var list []string
	for _, i := range e.result.moved {
		if z := e.result.d[3*i+2]; alone[i] && math.Abs(z) > e.c.ToleranceMm {
			list = append(list, e.ids[i])
		}
	}
	if len(list) > 0 {
		e.note("Nothing checks the height of " + names(list) + ": a misread height looks just like this. Read it again before believing the movement up or down.")
	}
}

func (e *examination) ofPoints(list []int) []string {
	var out []string
	for _, i := range list {
		out = append(out, e.n.ids[i])
	}
	return out
}

func ofMoved(list []Moved) []string {
	var out []string
	for _, m := range list {
		out = append(out, m.ID)
	}
	return out
}

// names joins names; of many only the first are told.
func names(list []string) string {
	if len(list) > 8 {
		return fmt.Sprintf("%s and %d more", strings.Join(list[:8], ", "), len(list)-8)
	}
	return strings.Join(list, ", ")
}
