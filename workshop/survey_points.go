package workshop

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"wreckwright/bench/survey"
)

// QuickLines are the lines of a quick survey, in walking order.
func QuickLines() []TapeLine {
	var list []TapeLine
	for _, l := range survey.QuickLines {
		list = append(list, TapeLine{Kind: ReadDistance, From: string(l)})
	}
	return list
}

// AddPoint adds a point, and where it is asked for the one that mirrors it on the
// other side of the car.
func (b *BodySurvey) AddPoint(p BodyPoint, pair bool) error {
	if b.Mode == SurveyQuick {
		return invalidAt("id", "a quick survey has no points of its own: begin a survey of points")
	}
	next := b.copied()
	if pair {
		if math.Abs(p.At.YMm) < 1 {
			return invalidAt("y", fmt.Sprintf("%s lies in the middle: it has no mirror; say how far left or right it is", orNothing(p.ID)))
		}
		q := p
		q.ID, q.At.YMm = mirrorName(p.ID), -p.At.YMm
		if p.At.YMm < 0 {
			p, q = q, p
		}
		p.Mirror = q.ID
		next.Points = append(next.Points, p, q)
	} else {
		next.Points = append(next.Points, p)
	}
	if err := next.sound(); err != nil {
		return err
	}
	*b = next
	return nil
}

func orNothing(id string) string {
	if id == "" {
		return "the point"
	}
	return id
}

// mirrorName names the point on the other side: L for R, R for L, else with a mark.
func mirrorName(id string) string {
	switch {
	case strings.HasPrefix(id, "L"):
		return "R" + id[1:]
	case strings.HasPrefix(id, "R"):
		return "L" + id[1:]
	}
	return id + ".r"
}

// ChangePoint changes a point; its readings follow a new name. twin is the point
// that mirrors it; empty: none.
func (b *BodySurvey) ChangePoint(old string, p BodyPoint, twin string) error {
	next := b.copied()
	at := next.Point(old)
	if at == nil {
		return invalidAt("id", fmt.Sprintf("%s is no point of this survey any more", old))
	}
	p.Nominal, p.ScatterMm = at.Nominal, at.ScatterMm
	*at = p
	for i := range next.Points {
		q := &next.Points[i]
		if q.Mirror == old || q.ID == twin || q.Mirror == twin && twin != "" {
			q.Mirror = ""
		}
	}
	if q := next.Point(twin); q != nil {
		left, right := next.Point(p.ID), q
		if left.At.YMm < right.At.YMm {
			left, right = right, left
		}
		left.Mirror = right.ID
	} else if twin != "" {
		return invalidAt("mirror", fmt.Sprintf("%s is no point of this survey", twin))
	}
	next.rename(old, p.ID)
	if err := next.sound(); err != nil {
		return err
	}
	*b = next
	return nil
}

func (b *BodySurvey) rename(old, id string) {
	to := func(name *string) {
		if *name == old {
			*name = id
		}
	}
	for i := range b.Readings {
		to(&b.Readings[i].From)
		to(&b.Readings[i].To)
	}
	for i := range b.Skipped {
		to(&b.Skipped[i].From)
		to(&b.Skipped[i].To)
	}
}

// RemovePoint takes a point out that no reading uses.
func (b *BodySurvey) RemovePoint(id string) error {
	i := slices.IndexFunc(b.Points, func(p BodyPoint) bool { return p.ID == id })
	if i < 0 {
		return invalidAt("id", fmt.Sprintf("%s is no point of this survey any more", orNothing(id)))
	}
	uses := func(l TapeLine) bool { return l.From == id || l.To == id }
	if n := countWhere(b.Readings, func(r TapeReading) bool { return uses(r.TapeLine) }); n > 0 {
		return invalidAt("id", fmt.Sprintf("%d readings go to %s: take those out first", n, id))
	}
	next := b.copied()
	next.Points = slices.Delete(next.Points, i, i+1)
	for k := range next.Points {
		if next.Points[k].Mirror == id {
			next.Points[k].Mirror = ""
		}
	}
	next.Skipped = slices.DeleteFunc(next.Skipped, uses)
	*b = next
	return nil
}

func countWhere[T any](list []T, is func(T) bool) int {
	n := 0
	for _, v := range list {
		if is(v) {
			n++
		}
	}
	return n
}

// mostSource is how many letters the source of the maker's places may have.
const mostSource = 200

// TakeNominal takes the maker's places of the points named, and none for others.
func (b *BodySurvey) TakeNominal(places map[string]BodyPlace, from string, scatterMm float64) error {
	if n := utf8.RuneCountInString(from); n > mostSource {
		return invalidAt("nominal_from", fmt.Sprintf("the source has %d letters; at most %d fit", n, mostSource))
	}
	if math.IsNaN(scatterMm) || scatterMm < 0 || scatterMm > 100 {
		return invalidAt("scatter_mm", fmt.Sprintf("a build scatter of %g mm; expected above 0 and at most 100 mm", scatterMm))
	}
	next := b.copied()
	next.NominalFrom, next.ScatterMm = from, scatterMm
	for i := range next.Points {
		p := &next.Points[i]
		p.Nominal, p.ScatterMm = nil, 0
		if at, ok := places[p.ID]; ok {
			p.Nominal = &at
			if p.At == (BodyPlace{}) { // else the list that was printed would be another
				p.At = at
			}
		}
	}
	for _, id := range slices.Sorted(maps.Keys(places)) {
		if next.Point(id) == nil {
			return invalidAt("places", fmt.Sprintf("%s is no point of this survey; expected one of %s", id, firstFew(next.ids(), 12)))
		}
	}
	if err := next.sound(); err != nil {
		return err
	}
	*b = next
	return nil
}
