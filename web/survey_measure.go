package web

import (
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"wreckwright/bench/survey"
	"wreckwright/chart"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
	"wreckwright/workshop"
)

// surveyMeasure is the page on which readings come in, held in one hand.
type surveyMeasure struct {
	surveyFrame
	Form    *Form
	Now     *workshop.WalkLine // what is read next, or the line that was chosen
	Chosen  bool               // by the person, not by the list
	Why     string             // why a line is asked for once more
	Last    []lastReading
	Earlier []lastReading // those before the last ones
	Worst   []survey.PointDoubt
	Ends    []survey.PointDoubt // of the line that was read last
	Figure  template.HTML
	After   []workshop.WalkLine
}

// lastReading is a reading to be read back, with its place in the list.
type lastReading struct {
	workshop.TapeReading
	At int
}

const (
	mostLastReadings = 6
	mostWorst        = 4
	mostAhead        = 40
)

// Kinds are what may be read by choice.
func (surveyMeasure) Kinds() []Option {
	return []Option{{workshop.ReadDistance, "Distance"}, {workshop.ReadHeight, "Height of the first"}, {workshop.ReadLevel, "How much higher the second is"}}
}

// Half95 shows half of the interval that holds a length with 95 %.
func (surveyMeasure) Half95(sd float64) string { return fmt.Sprintf("%.1f", uncertain.HalfOf95*sd) }

// PointOptions are the points to choose from.
func (p surveyFrame) PointOptions() []Option {
	list := []Option{{"", "–"}}
	for _, q := range p.Survey.Points {
		list = append(list, Option{q.ID, strings.TrimSpace(q.ID + " " + q.Name)})
	}
	return list
}

// Names say what the points of the line are, a pair of the same in one.
func (p surveyMeasure) Names() []string {
	var list []string
	for _, id := range []string{p.Now.From, p.Now.To} {
		q := p.Survey.Point(id)
		if q == nil || q.Name == "" {
			continue
		}
		words := capital(q.Name)
		if q.Touch != "" {
			words += ": " + lowerFirst(q.Touch)
		}
		if !slices.Contains(list, words) {
			list = append(list, words)
		}
	}
	return list
}

func lowerFirst(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	return string(unicode.ToLower(first)) + words[size:]
}

func (s *Server) surveyMeasureShow(w http.ResponseWriter, r *http.Request) error {
	f := &Form{}
	q := r.URL.Query()
	if q.Get("from") != "" {
		f.Set("kind", q.Get("kind"))
		f.Set("from", q.Get("from"))
		f.Set("to", q.Get("to"))
	}
	return s.surveyMeasureForm(w, r, f)
}

func (s *Server) surveyMeasureForm(w http.ResponseWriter, r *http.Request, f *Form) error {
	frame, err := s.surveyFrame(r, "measure", "")
	if err != nil {
		return err
	}
	page := surveyMeasure{surveyFrame: frame, Form: f, Now: frame.Walk.Next, After: frame.Walk.After(mostAhead)}
	if f.Value("from") != "" {
		page.choose(f)
	}
	page.tellLast()
	page.tellDoubts()
	page.Figure = chart.NewBodyView(page.tapeView()).SVG(chart.Phone)
	return s.show(w, statusOf(f), "survey_measure", page)
}

// More are further lines that would fix the points which are not fixed, once the
// list is read.
func (p surveyMeasure) More() []workshop.WalkLine {
	if p.Walk.Next != nil || p.Walk.Fixed == p.Walk.Of {
		return nil
	}
	return p.Walk.Further
}

// LineAt is the address at which a line is read.
func (p surveyFrame) LineAt(l workshop.TapeLine) string {
	return p.At() + "/measure?" + url.Values{"kind": {l.Kind}, "from": {l.From}, "to": {l.To}}.Encode()
}

// choose takes the line of the form or the address in place of the next one.
func (p *surveyMeasure) choose(f *Form) {
	line := workshop.WalkLine{TapeLine: readLine(f)}
	for _, l := range p.Walk.Lines {
		if l.TapeLine == line.TapeLine {
			line = l
		}
	}
	p.Chosen = p.Now == nil || p.Now.TapeLine != line.TapeLine
	p.Now = &line
}

func readLine(f *Form) workshop.TapeLine {
	l := workshop.TapeLine{Kind: f.Value("kind"), From: f.Value("from"), To: f.Value("to")}
	if l.Kind == "" {
		l.Kind = workshop.ReadDistance
	}
	if l.Kind == workshop.ReadHeight {
		l.To = ""
	}
	return l
}

// tellLast lists the last readings, and why a line is asked for again.
func (p *surveyMeasure) tellLast() {
	for k := len(p.Survey.Readings) - 1; k >= 0; k-- {
		list := &p.Last
		if len(p.Last) == mostLastReadings {
			list = &p.Earlier
		}
		*list = append(*list, lastReading{p.Survey.Readings[k], k})
	}
	if p.Now != nil && (p.Now.Disputed || p.Now.Odd) {
		p.Why = p.Survey.WhyAgain(p.Now.TapeLine)
	}
}

// tellDoubts picks the points that are known worst, and those that were read last.
func (p *surveyMeasure) tellDoubts() {
	list := slices.Clone(p.Walk.Doubts)
	slices.SortStableFunc(list, func(a, b survey.PointDoubt) int {
		switch {
		case a.SDMm > b.SDMm:
			return -1
		case a.SDMm < b.SDMm:
			return 1
		}
		return 0
	})
	for _, d := range list {
		if !d.Fixed && d.SDMm < unknownMm && len(p.Worst) < mostWorst {
			p.Worst = append(p.Worst, d)
		}
	}
	if len(p.Last) == 0 {
		return
	}
	for _, d := range list {
		if (d.ID == p.Last[0].From || d.ID == p.Last[0].To) && d.SDMm < unknownMm {
			p.Ends = append(p.Ends, d)
		}
	}
}

// unknownMm is what the engine gives as the doubt of a point of which too little is
// known.
const unknownMm = 99.0

// tapeView is the plan with the lines that were read and the next one.
func (p surveyMeasure) tapeView() chart.BodyView {
	v := chart.BodyView{Head: chart.Head{ID: "tape", Title: "Where the tape goes"}, PlanOnly: true, Doubtful: "Fixed by the readings"}
	fixed := map[string]bool{}
	for _, d := range p.Walk.Doubts {
		fixed[d.ID] = d.Fixed
	}
	now := workshop.TapeLine{}
	if p.Now != nil {
		now = p.Now.TapeLine
	}
	v.Points = sketchPoints(p.Survey, func(id string) chart.BodyState {
		if fixed[id] {
			return chart.BodyWithin
		}
		return chart.BodyOpen
	})
	for _, l := range p.Walk.Lines {
		ends := linePoints(p.Survey, l.TapeLine)
		if len(l.Readings) > 0 && ends[1] != "" {
			v.Lines = append(v.Lines, chart.BodyLine{From: ends[0], To: ends[1], Kind: "read"})
		}
	}
	if ends := linePoints(p.Survey, now); ends[0] != "" {
		v.Lines = append(v.Lines, chart.BodyLine{From: ends[0], To: orFirst(ends), Kind: "next"})
	}
	return v
}

// orFirst is the second end of a line, of a height the first once more.
func orFirst(ends [2]string) string {
	if ends[1] == "" {
		return ends[0]
	}
	return ends[1]
}

// surveyMeasureTake takes a reading, skips a line, or takes one back.
func (s *Server) surveyMeasureTake(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	take := func(*workshop.BodySurvey) error { return badRequest("The form does not say what to do.") }
	switch f.Value("do") {
	case "add", "":
		take = f.readingOf(readingsOf(r))
	case "skip":
		take = func(b *workshop.BodySurvey) error { return b.Skip(readLine(f)) }
	case "undo":
		take = func(b *workshop.BodySurvey) error {
			if _, ok := b.TakeBack(); !ok {
				return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "mm", Text: "there is no reading to take back"}}}
			}
			return nil
		}
	case "drop":
		take = f.droppedReading()
	case "anew":
		take = func(b *workshop.BodySurvey) error { b.Skipped = nil; return nil }
	}
	if len(f.Problems) == 0 {
		err := s.changeSurvey(w, r, anyRev, "/measure", func(_ *rebuild.Sheet, b *workshop.BodySurvey) error { return take(b) })
		if !f.take(err) {
			return err
		}
	}
	return s.surveyMeasureForm(w, r, f)
}

// readingOf reads a reading out of the form.
func (f *Form) readingOf(t readingText) func(*workshop.BodySurvey) error {
	mm := f.length(t, "mm", "the reading")
	if mm == nil {
		if len(f.Problems) == 0 {
			f.problem("mm", "type the reading first")
		}
		return nil
	}
	reading := workshop.TapeReading{TapeLine: readLine(f), Mm: *mm}
	return func(b *workshop.BodySurvey) error {
		_, err := b.Add(reading)
		return err
	}
}

// droppedReading takes out one reading, which must still be what the page showed.
func (f *Form) droppedReading() func(*workshop.BodySurvey) error {
	at, mm := int(f.whole("at", "the reading's place")), f.number("mm", "the reading")
	return func(b *workshop.BodySurvey) error {
		if at < 0 || at >= len(b.Readings) || b.Readings[at].Mm != mm {
			return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "mm", Text: "that reading is not there any more: look at the list again"}}}
		}
		b.Drop(at)
		return nil
	}
}
