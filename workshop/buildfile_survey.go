package workshop

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/bench/survey"
	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// surveyBlocks tell what a survey of points rests on, beside its drawing: where each
// point stands against where it should be, what could not be told, and the readings
// that were left out.
func (t *telling) surveyBlocks(said Surveyed) []buildfile.Block {
	r := *said.Result
	plot := bodyPlotOf(r)
	plot.Untold = untold(r)
	for i := range plot.Points {
		plot.Points[i].ID = t.cut(plot.Points[i].ID)
	}
	blocks := []buildfile.Block{{Body: &plot}}
	if list := t.leftOut(said); len(list) > 0 {
		blocks = append(blocks, buildfile.Block{Text: "Readings that were left out of the answer:"}, buildfile.Block{List: list})
	}
	if list := t.notTold(r); len(list) > 0 {
		blocks = append(blocks, buildfile.Block{Text: "What could not be told of single points:"}, buildfile.Block{List: list})
	}
	return append(blocks, buildfile.Block{Table: t.pointTable(r)})
}

// untold says why nothing can be said of what moved; empty: it can.
func untold(r survey.Result) string {
	switch {
	case SurveyContradicts(r):
		return "The readings contradict one another: nothing can be said of what has moved."
	case r.Against == survey.AgainstNothing:
		return "There is nothing to hold the points against: nothing can be said of what has moved."
	case len(r.Moved) == 0 && r.Verdict == survey.CannotTell:
		return "No point is seen to have moved, and the doubt is too large to say that none has."
	}
	return ""
}

// SurveyContradicts reports readings of a survey that do not fit one another within
// their doubt, so that its points and what is said of them bear nothing.
func SurveyContradicts(r survey.Result) bool {
	return r.Verdict == survey.CannotTell && r.Chi2.Value > r.Chi2.High && strings.Contains(r.Why, "contradict one another")
}

// leftOut are the readings that a survey does not rest on.
func (t *telling) leftOut(said Surveyed) []string {
	var list []string
	for _, b := range said.Result.Blunders {
		list = append(list, fmt.Sprintf("%s: reads %.1f mm too %s", t.cut(measuredLine(b.Kind, b.From, b.To)), max(b.ByMm, -b.ByMm), map[bool]string{true: "long", false: "short"}[b.ByMm > 0]))
	}
	for _, s := range said.Result.Suspects {
		list = append(list, t.cut(strings.Join(s.Readings, ", "))+": "+s.Why)
	}
	for _, a := range said.Aside() {
		list = append(list, t.cut(a.Words())+fmt.Sprintf(", %g mm: two other readings of the line contradict it", a.Mm))
	}
	return list
}

// notTold are the places that the readings do not settle.
func (t *telling) notTold(r survey.Result) []string {
	var list []string
	for _, c := range r.Compared {
		if c.Verdict == survey.CannotTell && len(list) < mostNotTold {
			list = append(list, t.cut(c.ID)+": within or beyond the tolerance cannot be told")
		}
	}
	for _, w := range r.Weak {
		if len(list) < 2*mostNotTold {
			list = append(list, fmt.Sprintf("%s: doubtful by ±%.1f mm %s", t.cut(w.ID), uncertain.HalfOf95*w.SDMm, w.Direction))
		}
	}
	return list
}

// mostNotTold bounds each kind of what could not be told.
const mostNotTold = 12

// pointTable lists what was compared, and the points where nothing was.
func (t *telling) pointTable(r survey.Result) *buildfile.Table {
	table := buildfile.Table{Shares: []float64{3, 4, 4, 4, 3}, Right: []bool{false, true, true, true, false}}
	if len(r.Compared) == 0 {
		table.Head = []string{"Point", "Forward, mm", "Left, mm", "Up, mm", "Doubt, 95 %"}
		for _, p := range r.Points {
			up, most := "", max(p.SX, p.SY)
			if p.Z != nil {
				up, most = fmt.Sprintf("%.1f", *p.Z), max(most, *p.SZ)
			}
			table.Rows = append(table.Rows, []string{t.cut(p.ID), fmt.Sprintf("%.1f", p.X), fmt.Sprintf("%.1f", p.Y), up, fmt.Sprintf("± %.1f", uncertain.HalfOf95*most)})
		}
		return &table
	}
	table.Head = []string{"Point or pair", "Off forward, mm", "Off to the left, mm", "Off up, mm", "Verdict"}
	for _, c := range r.Compared {
		row := []string{t.cut(c.ID), "", "", "", c.Verdict}
		for k := range min(len(c.D), 3) {
			row[1+k] = fmt.Sprintf("%+.1f ± %.1f", c.D[k], uncertain.HalfOf95*c.SD[k])
		}
		if SurveyContradicts(r) {
			row[4] = survey.CannotTell
		}
		table.Rows = append(table.Rows, row)
	}
	return &table
}

// measuredLine is a reading in words.
func measuredLine(kind, from, to string) string {
	return TapeLine{Kind: kind, From: from, To: to}.Words()
}

// Aside are the readings that two others of their line contradict.
func (s Surveyed) Aside() []TapeReading {
	return slices.DeleteFunc(slices.Clone(s.Survey.Readings), func(r TapeReading) bool { return !r.Aside })
}

// surveyPull tells what happened between a survey and the one before it, where both
// measured the same points; nothing where they did not.
func (t *telling) surveyPull(before *rebuild.Evidence, was, said Surveyed) []buildfile.Block {
	if samePoints(was.Survey, said.Survey) < leastSamePoints {
		return nil
	}
	c, err := survey.Compare(was.Survey.Case(), said.Survey.Case())
	if err != nil {
		return nil
	}
	list := []string{}
	for _, s := range c.Points {
		if s.Moved {
			words := make([]string, len(s.D))
			for k, d := range s.D {
				words[k] = fmt.Sprintf("%+.1f", d)
			}
			list = append(list, fmt.Sprintf("%s went %s mm (forward, left, up)", t.cut(s.ID), strings.Join(words, ", ")))
		}
	}
	text := fmt.Sprintf("Against the survey of %s, %q: %s.", shortDay(before.On), t.cut(before.Title), t.cut(strings.TrimSuffix(surveyWhy(c.Why), ".")))
	blocks := []buildfile.Block{{Text: text}}
	if len(list) > 0 {
		blocks = append(blocks, buildfile.Block{List: list})
	}
	return blocks
}

// leastSamePoints is how many points two surveys share before holding them against
// each other says anything: three say how the body stands, one more whether it bent.
//
// ref: DESIGN_SURVEY
const leastSamePoints = 4

// samePoints counts the points that both surveys measured.
func samePoints(a, b BodySurvey) int {
	in := map[string]bool{}
	for _, r := range a.Readings {
		in[r.From], in[r.To] = true, true
	}
	seen := map[string]bool{}
	for _, r := range b.Readings {
		for _, id := range []string{r.From, r.To} {
			if id != "" && in[id] {
				seen[id] = true
			}
		}
	}
	return len(seen)
}
