package workshop

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"wreckwright/bench/survey"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
	"wreckwright/working"
)

// surveyEngine names the engine of a body survey and its version.
const surveyEngine = "survey 1"

// Surveyed is what the readings of a body survey say. Of the quick kind Quick is
// set, else Result.
type Surveyed struct {
	Survey  BodySurvey
	Result  *survey.Result
	Quick   *survey.QuickResult
	Verdict rebuild.Verdict
	Why     string
	Figures []rebuild.EvidenceFigure
	Engine  string
}

// Title is what a measurement of it is called by itself.
func (s Surveyed) Title() string {
	if s.Quick != nil {
		return "Body: diagonals and cross measures"
	}
	return "Body survey"
}

// Cautions are what can hurt while a body is measured or pulled.
func (s Surveyed) Cautions() []string {
	if s.Quick != nil {
		return s.Quick.Cautions
	}
	return s.Result.Cautions
}

// Notes are what the answer rests on.
func (s Surveyed) Notes() []string {
	if s.Quick != nil {
		return s.Quick.Notes
	}
	return s.Result.Notes
}

// Working shows how the figures follow.
func (s Surveyed) Working() working.Working {
	if s.Quick != nil {
		return s.Quick.Working
	}
	return s.Result.Working
}

// SurveyOf works a body survey out from survey.json as it hangs on a measurement.
// A mistake is [*rebuild.Invalid], its fields those of the page.
func SurveyOf(raw []byte) (Surveyed, error) { return ExamineSurvey(string(raw)) }

// ExamineSurvey works a body survey out from its JSON.
func ExamineSurvey(text string) (Surveyed, error) {
	b, err := ReadBodySurvey(text)
	if err != nil {
		return Surveyed{}, err
	}
	return b.Examine()
}

// Examine asks the engine what the readings say.
func (b BodySurvey) Examine() (Surveyed, error) {
	out := Surveyed{Survey: b, Engine: surveyEngine}
	if b.Mode == SurveyQuick {
		r, err := survey.ExamineQuick(b.quickCase())
		if err != nil {
			return out, b.mistake(err)
		}
		out.Quick, out.Verdict, out.Why, out.Figures = &r, rebuild.Verdict(r.Verdict), surveyWhy(r.Why), quickFigures(r)
		return out, nil
	}
	if err := b.disputes(); err != nil {
		return out, err
	}
	r, err := survey.Examine(b.Case())
	if err != nil {
		return out, b.mistake(err)
	}
	out.Result, out.Verdict, out.Why, out.Figures = &r, rebuild.Verdict(r.Verdict), surveyWhy(r.Why), surveyFigures(r, len(out.Aside()))
	return out, nil
}

// mostWhy bounds the reason that is kept.
const mostWhy = 3900

// surveyWhy is the engine's reason as it is kept and shown.
func surveyWhy(why string) string {
	return cutTo(strings.ReplaceAll(why, "+-", "±"), mostWhy)
}

// SurveyAt works out anew a survey that was kept as evidence.
func (w *Workshop) SurveyAt(ctx context.Context, e *rebuild.Evidence) (Surveyed, error) {
	text, err := w.keptText(ctx, e, SurveyName)
	if err != nil {
		return Surveyed{}, fmt.Errorf("the survey %q cannot be worked out anew: %w", e.Title, err)
	}
	return w.surveyed.get(text, func() (Surveyed, error) { return ExamineSurvey(text) })
}

// Surveyed works a survey out, or remembers what it came to.
func (w *Workshop) Surveyed(b BodySurvey) (Surveyed, error) {
	text := b.JSON()
	return w.surveyed.get(text, func() (Surveyed, error) { return ExamineSurvey(text) })
}

// Case is the survey as the engine takes it: readings that were set aside and
// points that were not measured stay out.
func (b BodySurvey) Case() survey.Case {
	c := survey.Case{ToleranceMm: b.ToleranceMm}
	measured := map[string]bool{}
	for k, r := range b.Readings {
		if r.Aside {
			continue
		}
		switch row := k + 1; r.Kind {
		case ReadDistance:
			c.Distances = append(c.Distances, survey.Distance{From: r.From, To: r.To, Mm: r.Mm, SDMm: b.sdOf(r), Row: row})
			measured[r.From], measured[r.To] = true, true
		case ReadHeight:
			c.Heights = append(c.Heights, survey.Height{Point: r.From, Mm: r.Mm, SDMm: b.sdOf(r), Row: row})
		case ReadLevel:
			c.Levels = append(c.Levels, survey.Level{From: r.From, To: r.To, Mm: r.Mm, SDMm: b.sdOf(r), Row: row})
		}
	}
	for _, p := range b.Points {
		if p.Floor && measured[p.ID] {
			c.Floor = append(c.Floor, p.ID)
		}
		if p.Nominal != nil && measured[p.ID] {
			c.Nominal = append(c.Nominal, survey.Nominal{Point: p.ID, X: p.Nominal.XMm, Y: p.Nominal.YMm, Z: p.Nominal.ZMm, SDMm: cmp.Or(p.ScatterMm, b.ScatterMm)})
		}
	}
	c.Pairs = b.pairs(measured, len(c.Nominal) > 0)
	return c
}

// pairs are those of which both points were measured, from front to rear. Without
// the maker's places fewer than three say nothing and are left out.
func (b BodySurvey) pairs(measured map[string]bool, nominal bool) []survey.Pair {
	var list []survey.Pair
	for _, p := range b.Points {
		if p.Mirror != "" && measured[p.ID] && measured[p.Mirror] {
			list = append(list, survey.Pair{Left: p.ID, Right: p.Mirror})
		}
	}
	if len(list) < 3 && !nominal {
		return nil
	}
	x := func(pair survey.Pair) float64 { return b.Point(pair.Left).At.XMm + b.Point(pair.Right).At.XMm }
	slices.SortStableFunc(list, func(p, q survey.Pair) int {
		switch {
		case x(p) > x(q):
			return -1
		case x(p) < x(q):
			return 1
		}
		return 0
	})
	return list
}

func (b BodySurvey) quickCase() survey.QuickCase {
	c := survey.QuickCase{SDMm: b.TapeSDMm, ToleranceMm: b.ToleranceMm}
	for k, r := range b.Readings {
		if !r.Aside {
			c.Readings = append(c.Readings, survey.QuickReading{Line: survey.QuickLine(r.From), Mm: r.Mm, MakerMm: b.MakerMm[r.From], Row: k + 1})
		}
	}
	return c
}

// disputes refuses a survey with a line whose readings contradict one another.
func (b BodySurvey) disputes() error {
	for _, r := range b.Readings {
		if !r.Aside && b.Disputed(r.TapeLine) {
			return invalidAt("readings", fmt.Sprintf("%s was read %s: read it a third time, or take the wrong one out", r.Words(), b.valuesOf(r.TapeLine)))
		}
	}
	return nil
}

// mistake puts a mistake that the engine found into the words of the page.
func (b BodySurvey) mistake(err error) error {
	var wrong *survey.InputError
	if !errors.As(err, &wrong) {
		return err
	}
	field, where := "readings", ""
	switch wrong.Input {
	case survey.InNominal, survey.InPairs:
		field = "points"
	case survey.InTolerance:
		field = "tolerance_mm"
	default:
		if wrong.Row > 0 && wrong.Row <= len(b.Readings) {
			where = fmt.Sprintf("reading %d: ", wrong.Row)
		}
	}
	problem := linesOf.Replace(wrong.Problem)
	return invalidAt(field, where+problem+"; expected "+wrong.Expected)
}

// The engine speaks of lines of a file; here they are readings of a list.
var linesOf = strings.NewReplacer("(lines ", "(readings ", " on line ", " in reading ", "the pair of line ", "the pair of reading ")

// The figures of a survey that a person looks at first.
const (
	figureLargestMove = "Largest displacement"
	figureBeyond      = "Places beyond the tolerance"
	figureScatter     = "Scatter of the readings against their doubt"
)

// mostMovedFigures bounds the points whose displacement is a figure of its own.
const mostMovedFigures = 24

func surveyFigures(r survey.Result, aside int) []rebuild.EvidenceFigure {
	beyond, moved := 0, []rebuild.EvidenceFigure(nil)
	for _, c := range r.Compared {
		if c.Verdict == survey.Fail {
			beyond++
		}
	}
	largest := rebuild.EvidenceFigure{Name: figureLargestMove, Unit: "mm"}
	for _, m := range r.Moved {
		f := movedFigure(m, r.Compared)
		if m.SizeMm > largest.Value {
			largest.Value, largest.Low, largest.High = f.Value, f.Low, f.High
		}
		if len(moved) < mostMovedFigures {
			moved = append(moved, f)
		}
	}
	list := []rebuild.EvidenceFigure{}
	if said := !SurveyContradicts(r) && r.Against != survey.AgainstNothing; !said {
		moved = nil
	} else if len(r.Moved) > 0 || r.Verdict != survey.CannotTell {
		list = append(list, largest, rebuild.EvidenceFigure{Name: figureBeyond, Value: float64(beyond)})
	}
	list = append(list,
		rebuild.EvidenceFigure{Name: figureScatter, Value: r.Sigma0},
		rebuild.EvidenceFigure{Name: "Points", Value: float64(len(r.Points))},
		rebuild.EvidenceFigure{Name: "Readings", Value: float64(len(r.Residuals))},
		rebuild.EvidenceFigure{Name: "Readings to spare", Value: float64(r.Chi2.DoF)},
		rebuild.EvidenceFigure{Name: "Wrong readings taken out", Value: float64(len(r.Blunders))},
		rebuild.EvidenceFigure{Name: "Readings put aside by a third", Value: float64(aside)},
		rebuild.EvidenceFigure{Name: "Points not fixed", Value: float64(len(r.Weak))},
		rebuild.EvidenceFigure{Name: "Tolerance, each direction", Value: r.ToleranceMm, Unit: "mm"})
	return append(list, moved...)
}

// movedFigure is the displacement of a point, with its bounds (95 %) along the way that
// it went.
func movedFigure(m survey.Moved, compared []survey.Compared) rebuild.EvidenceFigure {
	f := rebuild.EvidenceFigure{Name: m.ID + ", displaced", Value: m.SizeMm, Unit: "mm"}
	i := slices.IndexFunc(compared, func(c survey.Compared) bool { return c.ID == m.ID })
	if i < 0 || m.SizeMm <= 0 {
		return f
	}
	variance := 0.0
	for k, sd := range compared[i].SD {
		share := compared[i].D[k] / m.SizeMm * sd
		variance += share * share
	}
	half := uncertain.HalfOf95 * math.Sqrt(variance)
	f.Low, f.High = new(math.Max(0, m.SizeMm-half)), new(m.SizeMm+half)
	return f
}

func quickFigures(r survey.QuickResult) []rebuild.EvidenceFigure {
	var list []rebuild.EvidenceFigure
	for _, c := range r.Checks {
		if c.Verdict == "" && c.ByMm == 0 {
			continue // a length that nothing is held against
		}
		f := rebuild.EvidenceFigure{Name: capitalFirst(cutTo(c.What, 90)), Value: c.ByMm, Unit: "mm"}
		if c.SDMm > 0 {
			f.Low, f.High = new(c.ByMm-uncertain.HalfOf95*c.SDMm), new(c.ByMm+uncertain.HalfOf95*c.SDMm)
		}
		list = append(list, f)
	}
	return append(list, rebuild.EvidenceFigure{Name: "Tolerance", Value: r.ToleranceMm, Unit: "mm"})
}

// leadingSurvey are the figures that a person looks at first: displacement, places
// beyond the tolerance, scatter; of a quick survey all but the tolerance.
func leadingSurvey(all []rebuild.EvidenceFigure) []rebuild.EvidenceFigure {
	var list []rebuild.EvidenceFigure
	for _, f := range all {
		if f.Name == figureLargestMove || f.Name == figureBeyond || f.Name == figureScatter {
			list = append(list, f)
		}
	}
	if len(list) == 0 && len(all) > 0 {
		return all[:min(3, len(all))]
	}
	return list
}

// Leading are the figures that a person looks at first.
func (s Surveyed) Leading() []rebuild.EvidenceFigure { return leadingSurvey(s.Figures) }

// Evidence is the survey to be kept, all but its file and what it belongs to.
func (s Surveyed) Evidence() rebuild.Evidence {
	by := rebuild.InstrumentSurvey
	if s.Quick != nil {
		by = rebuild.InstrumentQuickSurvey
	}
	return rebuild.Evidence{
		Instrument: by, Title: s.Title(), Verdict: s.Verdict, Why: s.Why, Figures: s.Figures, Engine: s.Engine,
	}
}
