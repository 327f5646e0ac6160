package workshop

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"wreckwright/bench/survey"
)

// SurveyWalk is what is read in a survey, in the order of a walk round the car, and
// how far it has come.
type SurveyWalk struct {
	Lines   []WalkLine
	Notes   []string
	Trouble string    // why no list can be made, and no doubt told; empty: there is one
	Next    *WalkLine // nil: all is read
	Read    int       // readings on the list that are there
	Wanted  int       // readings on the list

	Doubts   []survey.PointDoubt // of the points as read so far; none for a quick survey
	Fixed    int
	Of       int // points of the body
	Further  []WalkLine
	FixedAll bool
}

// WalkLine is one line of the walk.
type WalkLine struct {
	TapeLine
	AboutMm  float64 // 0: not known
	Group    int     // lines of one group are read from one place
	Times    int     // readings wanted
	Optional bool
	Readings []TakenReading
	Skipped  bool
	Disputed bool
	Odd      bool // the one reading is far from what the points say
}

// TakenReading is a reading with its place in the survey's list.
type TakenReading struct {
	TapeReading
	At int
}

// Open reports that the line is to be read yet.
func (l WalkLine) Open() bool {
	return l.Disputed || l.Odd || !l.Skipped && !l.Optional && l.standing() < l.Times
}

func (l WalkLine) standing() int {
	n := 0
	for _, r := range l.Readings {
		if !r.Aside {
			n++
		}
	}
	return n
}

// Nth is which reading of the line comes next, from 1.
func (l WalkLine) Nth() int { return l.standing() + 1 }

// Sketch is what is known of the places before anything is read.
func (b BodySurvey) Sketch() survey.Sketch {
	s := survey.Sketch{ReachMm: b.ReachMm}
	if b.Heights == HeightsByNone {
		s.Heights = survey.HeightsNone
	}
	for _, p := range b.Points {
		s.Points = append(s.Points, survey.Sketched{ID: p.ID, X: p.At.XMm, Y: p.At.YMm, Z: p.At.ZMm, Floor: p.Floor})
	}
	return s
}

// Walk lists what is read in a survey. The list is remembered: it takes longer to
// choose than to read.
func (w *Workshop) Walk(b BodySurvey) SurveyWalk {
	tape := func(s survey.Sketch) (survey.Tape, error) {
		return w.tapes.get(s, func() (survey.Tape, error) { return survey.TapeList(s) })
	}
	return b.walk(tape)
}

func (b BodySurvey) walk(tape func(survey.Sketch) (survey.Tape, error)) SurveyWalk {
	var walk SurveyWalk
	if b.Mode == SurveyQuick {
		walk.quick()
	} else {
		walk.whole(b, tape)
	}
	b.fill(&walk)
	walk.next()
	return walk
}

// quick wants each of the five lines twice: a line read once is checked by nothing.
func (walk *SurveyWalk) quick() {
	for i, l := range survey.QuickLines {
		line := WalkLine{TapeLine: TapeLine{Kind: ReadDistance, From: string(l)}, Group: i + 1, Times: 2}
		if l == survey.SideLeft || l == survey.SideRight {
			line.Optional = true
		}
		walk.Lines = append(walk.Lines, line)
	}
}

func (walk *SurveyWalk) whole(b BodySurvey, tape func(survey.Sketch) (survey.Tape, error)) {
	sketch := b.Sketch()
	t, err := tape(sketch)
	if err != nil {
		walk.Trouble = sketchTrouble(err)
		return
	}
	walk.Notes = t.Notes
	for _, l := range t.Lines {
		walk.Lines = append(walk.Lines, WalkLine{TapeLine: TapeLine{ReadDistance, l.From, l.To}, AboutMm: l.Mm, Group: l.Group, Times: 1})
	}
	walk.heights(b, t.Heights)
	state, err := survey.Progress(sketch, b.Case())
	if err != nil {
		walk.Notes = append(walk.Notes, "How well the points are fixed cannot be told yet: "+sketchTrouble(err))
		return
	}
	walk.Doubts, walk.Fixed, walk.FixedAll = state.Points, state.Fixed, state.Done
	for _, p := range b.Points {
		if !p.Floor {
			walk.Of++
		}
	}
	for _, n := range state.Next {
		line := WalkLine{TapeLine: TapeLine{ReadDistance, n.From, n.To}, AboutMm: n.Mm, Times: 1}
		if n.Kind == ReadHeight {
			line.TapeLine = TapeLine{Kind: ReadHeight, From: n.From}
		}
		walk.Further = append(walk.Further, line)
	}
}

// heights wants each height twice; with a tube of water each point against the
// first, which stands as the mark.
func (walk *SurveyWalk) heights(b BodySurvey, points []string) {
	group := 1
	if n := len(walk.Lines); n > 0 {
		group = walk.Lines[n-1].Group + 1
	}
	for i, id := range points {
		line := WalkLine{TapeLine: TapeLine{Kind: ReadHeight, From: id}, Group: group, Times: 2}
		if b.Heights == HeightsByTube {
			if i == 0 {
				continue
			}
			line.TapeLine = TapeLine{ReadLevel, points[0], id}
		}
		if p := b.Point(id); p != nil && b.Heights == HeightsByPlane {
			line.AboutMm = math.Abs(p.At.ZMm)
		}
		walk.Lines = append(walk.Lines, line)
	}
}

func sketchTrouble(err error) string {
	var wrong *survey.InputError
	if errors.As(err, &wrong) {
		return wrong.Problem + "; expected " + wrong.Expected
	}
	return err.Error()
}

// fill puts the readings at their lines; those that the list does not ask for come
// after it.
func (b BodySurvey) fill(walk *SurveyWalk) {
	for at, r := range b.Readings {
		i := slices.IndexFunc(walk.Lines, func(l WalkLine) bool { return l.same(r.TapeLine) })
		if i < 0 {
			walk.Lines = append(walk.Lines, WalkLine{TapeLine: r.TapeLine})
			i = len(walk.Lines) - 1
		}
		walk.Lines[i].Readings = append(walk.Lines[i].Readings, TakenReading{r, at})
	}
	for i := range walk.Lines {
		l := &walk.Lines[i]
		l.Skipped, l.Disputed, l.Odd = b.skipped(l.TapeLine), b.Disputed(l.TapeLine), b.odd(l.TapeLine)
		if about, ok := b.About(l.TapeLine); ok {
			l.AboutMm = about.Mm
		}
		if !l.Optional {
			walk.Wanted += l.Times
			walk.Read += min(l.Times, l.standing())
		}
	}
}

// odd reports that a line was read once, far from what the points say.
func (b BodySurvey) odd(l TapeLine) bool {
	list := b.at(l)
	about, known := b.About(l)
	return known && len(list) == 1 && math.Abs(b.Readings[list[0]].Mm-about.Mm) > about.Within
}

// next is the line to read: one that contradicts itself, then all once, then what
// is wanted twice.
func (walk *SurveyWalk) next() {
	rank := func(l WalkLine) int {
		if l.Disputed || l.Odd {
			return -1
		}
		return l.standing()
	}
	for i, l := range walk.Lines {
		if l.Open() && (walk.Next == nil || rank(l) < rank(*walk.Next)) {
			walk.Next = &walk.Lines[i]
		}
	}
}

// After is the walk from its next line on, at most so many lines: for a page that
// goes on without a signal.
func (walk SurveyWalk) After(most int) []WalkLine {
	var list []WalkLine
	for _, l := range walk.Lines {
		if l.Open() && !(walk.Next != nil && l.same(walk.Next.TapeLine)) {
			list = append(list, l)
		}
	}
	slices.SortStableFunc(list, func(p, q WalkLine) int { return cmp.Compare(p.standing(), q.standing()) })
	return list[:min(most, len(list))]
}

// Say is the line as it is announced: its points with their names.
func (b BodySurvey) Say(l TapeLine) string {
	text := l.Words()
	for _, id := range []string{l.From, l.To} {
		if p := b.Point(id); p != nil && p.Name != "" {
			text += fmt.Sprintf("; %s: %s", id, p.Name)
		}
	}
	return text
}
