package survey

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"wreckwright/working"
)

// QuickLine is one of the lines of the quick check.
type QuickLine string

// The lines of the quick check, between a point at each corner of the body and
// two at its middle.
const (
	DiagonalFromLeft  QuickLine = "diagonal-from-left"
	DiagonalFromRight QuickLine = "diagonal-from-right"
	CrossFront        QuickLine = "cross-front"
	CrossMiddle       QuickLine = "cross-middle"
	CrossRear         QuickLine = "cross-rear"
	SideLeft          QuickLine = "side-left"
	SideRight         QuickLine = "side-right"
)

// QuickLines are all lines, in the order of a walk round the car. The sides may
// be left out.
var QuickLines = []QuickLine{CrossFront, DiagonalFromLeft, DiagonalFromRight, SideRight, CrossMiddle, SideLeft, CrossRear}

var quickWords = map[QuickLine]string{
	DiagonalFromLeft:  "front left to rear right",
	DiagonalFromRight: "front right to rear left",
	CrossFront:        "across the front",
	CrossMiddle:       "across the middle",
	CrossRear:         "across the rear",
	SideLeft:          "left side, front to rear",
	SideRight:         "right side, front to rear",
}

// Words is the line in words.
func (l QuickLine) Words() string { return quickWords[l] }

// QuickReading is one length; a line may be read several times.
type QuickReading struct {
	Line    QuickLine
	Mm      float64
	MakerMm float64 // what the maker gives; 0: not known
	Row     int
}

// QuickCase is a quick check: both diagonals and the three crosses are needed.
type QuickCase struct {
	Readings    []QuickReading
	SDMm        float64 // of one reading; 0: 1 mm
	ToleranceMm float64 // 0: 3 mm
}

// QuickResult is a quick check worked out.
type QuickResult struct {
	Verdict     string          `json:"verdict"`
	Why         string          `json:"why"`
	ToleranceMm float64         `json:"tolerance_mm"`
	Checks      []QuickCheck    `json:"checks"`
	Notes       []string        `json:"notes"`
	CannotSee   []string        `json:"cannot_see"`
	Cautions    []string        `json:"cautions"`
	Working     working.Working `json:"working"`
}

// QuickCheck is one difference against the tolerance; without a verdict it is
// only told.
type QuickCheck struct {
	What    string  `json:"what"`
	ByMm    float64 `json:"by_mm"`
	SDMm    float64 `json:"sd_mm"`
	Verdict string  `json:"verdict"`
	Chance  float64 `json:"chance"` // that it lies within the tolerance; of one with a verdict
	Words   string  `json:"words"`
}

// quickLength is a line as read, the mean of its readings.
type quickLength struct {
	mm, sd, maker float64
	times, row    int
}

type quick struct {
	c       QuickCase
	of      map[QuickLine]quickLength
	r       QuickResult
	closure float64 // by how many of its doubts the six lengths miss one plane; 0 where not known
	closes  bool    // the six lengths check one another and agree
	checked map[QuickLine]bool
}

// ExamineQuick works a quick check out. On a straight body the diagonals are
// equal, and so are the sides. Errors are of type *[InputError].
//
// ref: DESIGN_SURVEY_AIDS
func ExamineQuick(c QuickCase) (QuickResult, error) {
	c.SDMm, c.ToleranceMm = orElse(c.SDMm, UsualTapeSDMm), orElse(c.ToleranceMm, UsualToleranceMm)
	q := &quick{c: c, r: QuickResult{ToleranceMm: c.ToleranceMm, Notes: []string{}}}
	var err error
	if q.of, err = quickLengths(c); err != nil {
		return QuickResult{}, err
	}
	if err := q.possible(); err != nil {
		return QuickResult{}, err
	}
	q.close()
	q.check()
	q.pattern()
	q.verdict()
	q.r.CannotSee = q.blind()
	q.r.Cautions = []string{underACar}
	return q.r, nil
}

func (q *quick) has(lines ...QuickLine) bool {
	for _, l := range lines {
		if _, ok := q.of[l]; !ok {
			return false
		}
	}
	return true
}

// close fits the four corners in one plane: six lengths, five of which make the
// shape, so that the sixth checks them.
func (q *quick) close() {
	if !q.has(SideLeft, SideRight) {
		return
	}
	n := &network{ids: make([]string, 4), dims: 2}
	corners := map[QuickLine][2]int{CrossFront: {0, 1}, CrossRear: {2, 3}, SideLeft: {0, 2}, SideRight: {1, 3}, DiagonalFromLeft: {0, 3}, DiagonalFromRight: {1, 2}}
	var used []QuickLine
	for _, line := range QuickLines {
		if at, ok := corners[line]; ok {
			used = append(used, line)
			n.readings = append(n.readings, reading{kind: distance, from: at[0], to: at[1], mm: q.of[line].mm, sd: q.of[line].sd})
		}
	}
	a, b, l := q.of[CrossFront].mm/2, q.of[CrossRear].mm/2, q.of[SideLeft].mm
	adjusted, err := n.adjust([]float64{l, a, l, -a, 0, b, 0, -b})
	if err != nil || adjusted.dof != 1 {
		return
	}
	q.checked = map[QuickLine]bool{}
	for k, line := range used {
		q.checked[line] = adjusted.r[k] >= leastChecked
	}
	q.closure = math.Sqrt(adjusted.squares)
	q.closes = q.closure <= distuv.UnitNormal.Quantile(1-fitRisk/2)
	q.r.Working.Add("misfit of the six lengths", "root of the sum of (residual / sd)^2 in one plane, 1 to spare", q.closure, "", "DESIGN_SURVEY_AIDS")
}

// quickDifference is what a check is about.
type quickDifference struct {
	what, words string
	by, sd      float64
	lines       []QuickLine
}

// check lists what is compared, then judges it: the risk of a fail is shared.
func (q *quick) check() {
	list := []quickDifference{q.differ("diagonals", DiagonalFromLeft, DiagonalFromRight)}
	if q.has(SideLeft, SideRight) {
		list = append(list, q.differ("sides", SideLeft, SideRight))
	}
	for _, line := range QuickLines {
		if q.of[line].maker > 0 {
			list = append(list, q.fromMaker(line))
		}
	}
	within := distuv.UnitNormal.Quantile(1 - fitRisk)
	beyond := distuv.UnitNormal.Quantile(1 - fitRisk/float64(len(list)))
	for _, d := range list {
		made := QuickCheck{What: d.what, ByMm: d.by, SDMm: d.sd, Verdict: Pass, Words: d.words}
		switch off := math.Abs(d.by); {
		case off-beyond*d.sd > q.c.ToleranceMm && !q.sure(d.lines):
			made.Verdict = CannotTell
			made.Words += "; nothing checks it yet: read it again"
		case off-beyond*d.sd > q.c.ToleranceMm:
			made.Verdict = Fail
		case off+within*d.sd > q.c.ToleranceMm:
			made.Verdict = CannotTell
		}
		made.Chance = chanceWithin(d.by, d.sd, q.c.ToleranceMm)
		q.r.Checks = append(q.r.Checks, made)
		q.r.Working.Add(d.what, "difference", d.by, "mm", "DESIGN_SURVEY_AIDS")
	}
	q.r.Working.Add("limit of a fail", "tolerance + this many doubts", beyond, "", "DESIGN_SURVEY_AIDS")
	q.tell()
}

// chanceWithin is the chance that a difference in doubt lies within the tolerance.
func chanceWithin(by, sd, tolerance float64) float64 {
	if sd <= 0 {
		if math.Abs(by) <= tolerance {
			return 1
		}
		return 0
	}
	return distuv.UnitNormal.CDF((tolerance-by)/sd) - distuv.UnitNormal.CDF((-tolerance-by)/sd)
}

// chance says it in words; in doubt it is never all or nothing.
func (c QuickCheck) chance() string {
	switch {
	case c.SDMm > 0 && c.Chance > 0.995:
		return "over 99 %"
	case c.SDMm > 0 && c.Chance < 0.005:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*c.Chance)
}

// differ sets two lines that ought to be equal against each other.
func (q *quick) differ(what string, a, b QuickLine) quickDifference {
	la, lb := q.of[a], q.of[b]
	by := la.mm - lb.mm
	longer, shorter := a, b
	if by < 0 {
		longer, shorter = b, a
	}
	return quickDifference{what, fmt.Sprintf("%s is %.1f mm longer than %s", longer.Words(), math.Abs(by), shorter.Words()), by, math.Hypot(la.sd, lb.sd), []QuickLine{a, b}}
}

// fromMaker sets a line against the maker's figure.
func (q *quick) fromMaker(line QuickLine) quickDifference {
	l := q.of[line]
	by, word := l.mm-l.maker, "longer"
	if by < 0 {
		word = "shorter"
	}
	return quickDifference{line.Words(), fmt.Sprintf("%s is %.1f mm %s than the maker's %g mm", line.Words(), math.Abs(by), word, l.maker), by, l.sd, []QuickLine{line}}
}

// sure reports that a misread line does not condemn the car: each was read
// twice, or the six lengths check it.
func (q *quick) sure(lines []QuickLine) bool {
	for _, l := range lines {
		if q.of[l].times < 2 && !(q.closes && q.checked[l]) {
			return false
		}
	}
	return true
}

// tell adds the crosses that nothing says the right length of.
func (q *quick) tell() {
	for _, line := range []QuickLine{CrossFront, CrossMiddle, CrossRear} {
		if l := q.of[line]; l.maker == 0 {
			q.r.Checks = append(q.r.Checks, QuickCheck{What: line.Words(), SDMm: l.sd, Words: fmt.Sprintf("%s: %.1f mm, no maker's figure to hold it against", line.Words(), l.mm)})
		}
	}
}

func (q *quick) note(text string) { q.r.Notes = append(q.r.Notes, text) }

// pattern says which movement would look like this.
func (q *quick) pattern() {
	diagonals := q.r.Checks[0]
	dl, dr := q.of[DiagonalFromLeft].mm, q.of[DiagonalFromRight].mm
	sway := (dl*dl - dr*dr) / (2 * (q.of[CrossFront].mm + q.of[CrossRear].mm))
	way := "left"
	if sway < 0 {
		way = "right"
	}
	if !q.has(SideLeft, SideRight) {
		if diagonals.Verdict != Pass {
			q.note(fmt.Sprintf("The diagonals are as where the front stands %.0f mm to the %s of the rear, or as where one end stands askew: measure both sides to tell which.", math.Abs(sway), way))
		}
		return
	}
	sides := q.r.Checks[1]
	switch {
	case !q.closes:
	case diagonals.Verdict == Pass && sides.Verdict == Pass:
	case sides.Verdict == Pass:
		q.note(fmt.Sprintf("The sides agree and the diagonals do not: as where the front stands %.0f mm to the %s of the rear, or a corner has gone in or out.", math.Abs(sway), way))
	case diagonals.Verdict == Pass:
		q.note(fmt.Sprintf("The %s side is shorter though the diagonals agree: as where both ends of that side have come nearer, or those of the other have gone apart.", shortSide(sides.ByMm)))
	case sides.ByMm < 0 == (diagonals.ByMm < 0):
		q.note(fmt.Sprintf("As where the front %s corner has gone back or the front %s one forward.", shortSide(sides.ByMm), shortSide(-sides.ByMm)))
	default:
		q.note(fmt.Sprintf("As where the rear %s corner has gone forward or the rear %s one back.", shortSide(sides.ByMm), shortSide(-sides.ByMm)))
	}
}

func shortSide(leftMinusRight float64) string {
	if leftMinusRight < 0 {
		return "left"
	}
	return "right"
}

func (q *quick) verdict() {
	by := map[string][]string{}
	for _, c := range q.r.Checks {
		if c.Verdict != "" {
			by[c.Verdict] = append(by[c.Verdict], fmt.Sprintf("%s (within with a chance of %s)", c.Words, c.chance()))
		}
	}
	tolerance := fmt.Sprintf("+-%g mm", q.c.ToleranceMm)
	switch {
	case q.has(SideLeft, SideRight) && !q.closes:
		q.r.Verdict, q.r.Why = CannotTell, "the diagonals, the sides and the crosses at both ends do not make one shape: one of the six is misread, measure them again"
	case len(by[Fail]) > 0:
		q.r.Verdict, q.r.Why = Fail, "beyond "+tolerance+" even with the doubt: "+strings.Join(by[Fail], "; ")
	case len(by[CannotTell]) > 0:
		q.r.Verdict, q.r.Why = CannotTell, "the doubt reaches over "+tolerance+": "+strings.Join(by[CannotTell], "; ")
	default:
		q.r.Verdict, q.r.Why = Pass, "what was compared agrees within "+tolerance+": "+strings.Join(by[Pass], "; ")+"; see what this check cannot see"
	}
	for _, l := range q.of {
		if l.times < 2 {
			q.note("Some lines were read once: a second reading of each catches a misreading and lowers the doubt.")
			return
		}
	}
}

// blind is what this check cannot see.
func (q *quick) blind() []string {
	list := []string{
		"Heights: an end or a corner that has gone up or down, a sagging or twisted body.",
		"Which corner has moved, and anything beyond these points: strut tops, suspension mounts, sills.",
		"Where the middle stands: only its width is measured.",
	}
	maker := 0
	for _, l := range q.of {
		if l.maker > 0 {
			maker++
		}
	}
	if maker < len(q.of) {
		list = append(list, "Damage that is alike on both sides, such as a front gone straight back or a width that has closed up, wherever no maker's figure is entered.")
	}
	if !q.has(SideLeft, SideRight) {
		list = append(list, "Whether the front has gone sideways or one end stands askew: that takes the length of both sides.")
	}
	return list
}
