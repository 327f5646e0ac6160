package workshop

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wreckwright/bench/survey"
)

// SurveyFiles are the lists of a survey as CSV, in the form of the command; empty
// ones are not given.
type SurveyFiles struct {
	Distances, Heights, Levels, Nominal, Pairs string

	NewPoints bool // names that a survey with points does not know are new points, not slips
}

// The names of the lists, as files and as fields of a page.
const (
	FileDistances = "distances.csv"
	FileHeights   = "heights.csv"
	FileLevels    = "levels.csv"
	FilePoints    = "points.csv"
	FilePairs     = "pairs.csv"
)

// ImportSurvey adds lists to a survey: readings after those it has, points that it
// does not know as new ones. What a list says of a known point goes before. A
// mistake is [*rebuild.Invalid] at the field of its list and names the line.
func (b BodySurvey) ImportSurvey(f SurveyFiles) (BodySurvey, error) {
	if b.Mode != SurveyWhole {
		return b, invalidAt("distances", "a quick survey takes no lists: start a survey of points")
	}
	c, err := f.read()
	if err != nil {
		return b, err
	}
	if !f.NewPoints {
		if err := b.slips(c); err != nil {
			return b, err
		}
	}
	b = b.copied()
	b.takePoints(c)
	for _, d := range c.Distances {
		b.Readings = append(b.Readings, TapeReading{TapeLine: TapeLine{ReadDistance, d.From, d.To}, Mm: d.Mm, SDMm: d.SDMm})
	}
	for _, h := range c.Heights {
		b.Readings = append(b.Readings, TapeReading{TapeLine: TapeLine{ReadHeight, h.Point, ""}, Mm: h.Mm, SDMm: h.SDMm})
		b.Heights = HeightsByPlane
	}
	for _, l := range c.Levels {
		b.Readings = append(b.Readings, TapeReading{TapeLine: TapeLine{ReadLevel, l.From, l.To}, Mm: l.Mm, SDMm: l.SDMm})
		b.Heights = HeightsByTube
	}
	for _, r := range b.Readings {
		b.settle(r.TapeLine)
		if err := b.soundValue(r); err != nil {
			return b, err
		}
	}
	if err := b.sound(); err != nil {
		return b, err
	}
	b.place()
	return b, nil
}

func (f SurveyFiles) read() (survey.Case, error) {
	var c survey.Case
	for _, list := range []struct {
		field, text string
		take        func([]byte) error
	}{
		{"distances", f.Distances, func(d []byte) (err error) { c.Distances, err = survey.ReadDistances(d); return }},
		{"heights", f.Heights, func(d []byte) (err error) { c.Heights, err = survey.ReadHeights(d); return }},
		{"levels", f.Levels, func(d []byte) (err error) { c.Levels, err = survey.ReadLevels(d); return }},
		{"nominal", f.Nominal, func(d []byte) (err error) { c.Nominal, err = survey.ReadNominal(d); return }},
		{"pairs", f.Pairs, func(d []byte) (err error) { c.Pairs, err = survey.ReadPairs(d); return }},
	} {
		if list.text == "" {
			continue
		}
		var wrong *survey.InputError
		if err := list.take([]byte(list.text)); errors.As(err, &wrong) {
			return c, invalidAt(list.field, fmt.Sprintf("%s, line %d: %s; expected %s", list.field, wrong.Row, wrong.Problem, wrong.Expected))
		} else if err != nil {
			return c, err
		}
	}
	return c, nil
}

// slips refuses readings that name a point which neither the survey nor a list of
// points knows: in a survey that has points it is likely mistyped.
func (b BodySurvey) slips(c survey.Case) error {
	if len(b.Points) == 0 {
		return nil
	}
	known := b.ids()
	for _, n := range c.Nominal {
		known = append(known, n.Point)
	}
	for _, p := range c.Pairs {
		known = append(known, p.Left, p.Right)
	}
	check := func(field string, row int, names ...string) error {
		for _, id := range names {
			if slices.Contains(known, id) {
				continue
			}
			meant := ""
			if near := nearestName(id, known); near != "" {
				meant = fmt.Sprintf("; did you mean %s?", near)
			}
			return invalidAt(field, fmt.Sprintf("%s, line %d: %s is no point of this survey%s Mend the list, or tick that names which are not known are new points", field, row, id, orStop(meant)))
		}
		return nil
	}
	for _, d := range c.Distances {
		if err := check("distances", d.Row, d.From, d.To); err != nil {
			return err
		}
	}
	for _, h := range c.Heights {
		if err := check("heights", h.Row, h.Point); err != nil {
			return err
		}
	}
	for _, l := range c.Levels {
		if err := check("levels", l.Row, l.From, l.To); err != nil {
			return err
		}
	}
	return nil
}

func orStop(words string) string { return cmp.Or(words, ".") }

// nearestName is the name that differs least from another, by at most two letters;
// empty: none is near.
func nearestName(id string, known []string) string {
	best, least := "", 3
	for _, name := range known {
		if d := lettersApart(strings.ToLower(id), strings.ToLower(name)); d < least && d < len(id) {
			best, least = name, d
		}
	}
	return best
}

// lettersApart counts the letters to put in, take out or change to make one word of
// another.
func lettersApart(a, b string) int {
	s, t := []rune(a), []rune(b)
	row := make([]int, len(t)+1)
	for k := range row {
		row[k] = k
	}
	for i := range s {
		before := row[0]
		row[0] = i + 1
		for k := range t {
			change := before
			if s[i] != t[k] {
				change++
			}
			before = row[k+1]
			row[k+1] = min(change, row[k]+1, row[k+1]+1)
		}
	}
	return row[len(t)]
}

// takePoints adds the points of lists; the maker's places go before those known.
func (b *BodySurvey) takePoints(c survey.Case) {
	add := func(id string) *BodyPoint {
		if p := b.Point(id); p != nil {
			return p
		}
		b.Points = append(b.Points, BodyPoint{ID: id})
		return &b.Points[len(b.Points)-1]
	}
	for _, n := range c.Nominal {
		p := add(n.Point)
		p.Nominal = &BodyPlace{n.X, n.Y, n.Z}
		if p.At == (BodyPlace{}) { // else the list that was printed would be another
			p.At = *p.Nominal
		}
		p.ScatterMm = n.SDMm
	}
	for _, pair := range c.Pairs {
		add(pair.Right)
		add(pair.Left).Mirror = pair.Right
	}
	for _, d := range c.Distances {
		add(d.From)
		add(d.To)
	}
	for _, h := range c.Heights {
		add(h.Point)
	}
	for _, l := range c.Levels {
		add(l.From)
		add(l.To)
	}
}

// place puts points of which nothing is known where the readings have them.
func (b *BodySurvey) place() {
	nowhere := false
	for _, p := range b.Points {
		nowhere = nowhere || p.At == BodyPlace{}
	}
	if !nowhere {
		return
	}
	r, err := survey.Examine(b.Case())
	if err != nil {
		return // the page says so when it is worked out
	}
	for _, q := range r.Points {
		p := b.Point(q.ID)
		if p == nil || p.At != (BodyPlace{}) {
			continue
		}
		p.At = BodyPlace{XMm: q.X, YMm: q.Y}
		if q.Z != nil {
			p.At.ZMm = *q.Z
		}
	}
}

func (b BodySurvey) copied() BodySurvey {
	b.Points = append([]BodyPoint(nil), b.Points...)
	b.Readings = append([]TapeReading(nil), b.Readings...)
	b.Skipped = append([]TapeLine(nil), b.Skipped...)
	return b
}

// Export writes the survey's lists as CSV; empty where there is nothing in a list.
// Readings that were set aside stay out.
func (b BodySurvey) Export() SurveyFiles {
	c := b.Case()
	d := [][]string{{"from", "to", "mm", "sd"}}
	for _, r := range c.Distances {
		d = append(d, []string{r.From, r.To, exactNumber(r.Mm), exactNumber(r.SDMm)})
	}
	h := [][]string{{"point", "mm", "sd"}}
	for _, r := range c.Heights {
		h = append(h, []string{r.Point, exactNumber(r.Mm), exactNumber(r.SDMm)})
	}
	l := [][]string{{"from", "to", "mm", "sd"}}
	for _, r := range c.Levels {
		l = append(l, []string{r.From, r.To, exactNumber(r.Mm), exactNumber(r.SDMm)})
	}
	p, pairs := [][]string{{"point", "x", "y", "z", "sd"}}, [][]string{{"left", "right"}}
	for _, q := range b.Points {
		if q.Nominal != nil {
			p = append(p, []string{q.ID, exactNumber(q.Nominal.XMm), exactNumber(q.Nominal.YMm), exactNumber(q.Nominal.ZMm), exactNumber(cmp.Or(q.ScatterMm, b.ScatterMm, survey.UsualScatterMm))})
		}
		if q.Mirror != "" {
			pairs = append(pairs, []string{q.ID, q.Mirror})
		}
	}
	return SurveyFiles{Distances: asCSV(d), Heights: asCSV(h), Levels: asCSV(l), Nominal: asCSV(p), Pairs: asCSV(pairs)}
}

// Named is the list of that file name; false where there is no such list.
func (f SurveyFiles) Named(name string) (string, bool) {
	text, ok := map[string]string{FileDistances: f.Distances, FileHeights: f.Heights, FileLevels: f.Levels, FilePoints: f.Nominal, FilePairs: f.Pairs}[name]
	return text, ok
}

// asCSV writes rows; nothing where there is a heading alone.
func asCSV(rows [][]string) string {
	if len(rows) < 2 {
		return ""
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	if err := w.WriteAll(rows); err != nil {
		return "" // a buffer takes all
	}
	return out.String()
}

func exactNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
