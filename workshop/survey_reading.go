package workshop

import (
	"fmt"
	"math"

	"wreckwright/bench/survey"
)

// TapeHeard is what a reading was answered with.
type TapeHeard struct {
	Again *TapeLine // to be read once more; nil: go on
	Why   string
}

// Add takes a reading. Where it contradicts another of the same line both stay and
// the line is asked for a third time; then the two that agree best stand and the
// others are set aside.
func (b *BodySurvey) Add(r TapeReading) (TapeHeard, error) {
	if err := b.soundLine(r.TapeLine); err != nil {
		return TapeHeard{}, err
	}
	if err := b.soundValue(r); err != nil {
		return TapeHeard{}, err
	}
	if len(b.Readings) >= mostTapeReadings {
		return TapeHeard{}, invalidAt("mm", fmt.Sprintf("there are %d readings; no more fit", len(b.Readings)))
	}
	b.Readings = append(b.Readings, r)
	b.unskip(r.TapeLine)
	b.settle(r.TapeLine)
	return b.heard(r), nil
}

func (b BodySurvey) soundValue(r TapeReading) error {
	low, words := -farthestMm, fmt.Sprintf("at most %g mm either way", farthestMm)
	if r.Kind == ReadDistance {
		low, words = 0, fmt.Sprintf("above 0 and at most %g mm", farthestMm)
	}
	if math.IsNaN(r.Mm) || r.Mm <= low || r.Mm > farthestMm {
		return invalidAt("mm", fmt.Sprintf("%s: %g mm; expected %s", r.Words(), r.Mm, words))
	}
	if math.IsNaN(r.SDMm) || r.SDMm < 0 || r.SDMm > 100 {
		return invalidAt("sd", fmt.Sprintf("%s: a doubt of %g mm; expected above 0 and at most 100 mm", r.Words(), r.SDMm))
	}
	return nil
}

// heard says whether the line must be read once more.
func (b BodySurvey) heard(r TapeReading) TapeHeard {
	line := r.TapeLine
	if why := b.WhyAgain(line); why != "" {
		return TapeHeard{&line, why}
	}
	return TapeHeard{}
}

// WhyAgain says why a line is to be read once more; empty: it is not.
func (b BodySurvey) WhyAgain(l TapeLine) string {
	if b.Disputed(l) {
		return fmt.Sprintf("%s was read %s. That is too far apart: read it once more", l.Words(), b.valuesOf(l))
	}
	if b.odd(l) {
		about, _ := b.About(l)
		return fmt.Sprintf("%s was read %s, and by the list of points it should be about %.0f mm: read it once more, or look whether these are the points", l.Words(), b.valuesOf(l), about.Mm)
	}
	return ""
}

func (b BodySurvey) valuesOf(l TapeLine) string {
	text := ""
	list := b.at(l)
	for i, k := range list {
		switch {
		case i == 0:
		case i == len(list)-1:
			text += " and "
		default:
			text += ", "
		}
		text += fmt.Sprintf("%g", b.towards(k, l))
	}
	return text + " mm"
}

// at are the readings of a line that stand, by their place in the list.
func (b BodySurvey) at(l TapeLine) []int {
	var list []int
	for k, r := range b.Readings {
		if !r.Aside && r.same(l) {
			list = append(list, k)
		}
	}
	return list
}

// towards is a reading as it counts in the direction of a line.
func (b BodySurvey) towards(k int, l TapeLine) float64 {
	if r := b.Readings[k]; r.Kind == ReadLevel && r.From != l.From {
		return -r.Mm
	}
	return b.Readings[k].Mm
}

func (b BodySurvey) sdOf(r TapeReading) float64 {
	switch {
	case r.SDMm > 0:
		return r.SDMm
	case r.Kind == ReadDistance && b.TapeSDMm > 0:
		return b.TapeSDMm
	case r.Kind == ReadDistance:
		return survey.UsualTapeSDMm
	case b.HeightSDMm > 0:
		return b.HeightSDMm
	}
	return survey.UsualHeightSDMm
}

func (b BodySurvey) agree(i, k int) bool {
	limit := survey.RepeatSDs * math.Hypot(b.sdOf(b.Readings[i]), b.sdOf(b.Readings[k]))
	return b.gap(i, k) <= limit
}

func (b BodySurvey) gap(i, k int) float64 {
	l := b.Readings[i].TapeLine
	return math.Abs(b.Readings[i].Mm - b.towards(k, l))
}

// Disputed reports that the readings of a line contradict one another.
func (b BodySurvey) Disputed(l TapeLine) bool {
	list := b.at(l)
	for i := range list {
		for k := range i {
			if !b.agree(list[i], list[k]) {
				return true
			}
		}
	}
	return false
}

// settle sets readings of a disputed line aside once two of three or more agree:
// all that contradict the closest two.
func (b *BodySurvey) settle(l TapeLine) {
	list := b.at(l)
	if len(list) < 3 || !b.Disputed(l) {
		return
	}
	best := [2]int{-1, -1}
	for i := range list {
		for k := range i {
			if best[0] < 0 || b.gap(list[i], list[k]) < b.gap(best[0], best[1]) {
				best = [2]int{list[i], list[k]}
			}
		}
	}
	if !b.agree(best[0], best[1]) {
		return
	}
	for _, k := range list {
		if !b.agree(k, best[0]) || !b.agree(k, best[1]) {
			b.Readings[k].Aside = true
		}
	}
}

// TakeBack removes the last reading; those that it had set aside stand again.
func (b *BodySurvey) TakeBack() (TapeReading, bool) {
	if len(b.Readings) == 0 {
		return TapeReading{}, false
	}
	return b.Drop(len(b.Readings) - 1)
}

// Drop removes one reading by its place in the list.
func (b *BodySurvey) Drop(k int) (TapeReading, bool) {
	if k < 0 || k >= len(b.Readings) {
		return TapeReading{}, false
	}
	gone := b.Readings[k]
	b.Readings = append(append([]TapeReading{}, b.Readings[:k]...), b.Readings[k+1:]...)
	for i := range b.Readings {
		if b.Readings[i].same(gone.TapeLine) {
			b.Readings[i].Aside = false
		}
	}
	b.settle(gone.TapeLine)
	return gone, true
}

// Skip leaves a line out of the list for now.
func (b *BodySurvey) Skip(l TapeLine) error {
	if err := b.soundLine(l); err != nil {
		return err
	}
	if !b.skipped(l) {
		b.Skipped = append(b.Skipped, l)
	}
	return nil
}

func (b BodySurvey) skipped(l TapeLine) bool {
	for _, s := range b.Skipped {
		if s.same(l) {
			return true
		}
	}
	return false
}

func (b *BodySurvey) unskip(l TapeLine) {
	var kept []TapeLine
	for _, s := range b.Skipped {
		if !s.same(l) {
			kept = append(kept, s)
		}
	}
	b.Skipped = kept
}

// Guess is what a line should come to by the list of points, and how far off is
// still nothing to wonder at.
type Guess struct{ Mm, Within float64 }

// Rough places are told by the eye, or are those of another car; the maker's are
// near even on a car that was hit.
//
// ref: DESIGN_SURVEY
const (
	roughShare   = 0.4
	roughMm      = 250.0
	nominalOffMm = 80.0
)

// About is what a line should come to; false where nothing says so.
func (b BodySurvey) About(l TapeLine) (Guess, bool) {
	p, q := b.Point(l.From), b.Point(l.To)
	if p == nil || q == nil || l.Kind != ReadDistance {
		return Guess{}, false
	}
	if p.Nominal != nil && q.Nominal != nil {
		return Guess{p.Nominal.to(*q.Nominal), nominalOffMm}, true
	}
	mm := p.At.to(q.At)
	return Guess{mm, math.Max(roughMm, roughShare*mm)}, mm > 0
}

func (a BodyPlace) to(b BodyPlace) float64 {
	return math.Hypot(math.Hypot(a.XMm-b.XMm, a.YMm-b.YMm), a.ZMm-b.ZMm)
}
