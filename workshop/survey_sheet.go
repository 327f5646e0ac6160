package workshop

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"wreckwright/bench/survey"
	"wreckwright/knowledge"
)

// SurveyName is what a body survey is called when it is kept.
const SurveyName = "survey.json"

// How a survey is read.
const (
	SurveyWhole = ""      // points, distances between them, heights
	SurveyQuick = "quick" // two diagonals and three cross measures
)

// How heights are read.
const (
	HeightsByNone  = ""      // not at all: floor marks, or plan only
	HeightsByPlane = "plane" // each over one level plane: a laser's, a stretched level line
	HeightsByTube  = "tube"  // differences between points, by a tube of water
)

// BodySurvey is a survey as it is entered: its points, its readings in the order in
// which they were taken, and what they are held against. It is kept as JSON, in a
// measuring sheet while it grows and beside the evidence when it is done.
type BodySurvey struct {
	Mode        string        `json:"mode,omitempty"`
	Points      []BodyPoint   `json:"points"`
	Readings    []TapeReading `json:"readings"`
	Skipped     []TapeLine    `json:"skipped,omitempty"`      // lines that are left out for now
	NominalFrom string        `json:"nominal_from,omitempty"` // source of the maker's places
	ScatterMm   float64       `json:"scatter_mm,omitempty"`   // build scatter of those, each direction; 0: 1 mm
	ToleranceMm float64       `json:"tolerance_mm,omitempty"` // 0: 3 mm
	TapeSDMm    float64       `json:"tape_sd_mm,omitempty"`   // doubt of a distance; 0: 1 mm
	HeightSDMm  float64       `json:"height_sd_mm,omitempty"` // doubt of a height; 0: 1.5 mm
	ReachMm     float64       `json:"reach_mm,omitempty"`     // of the tape; 0: 3 m
	Heights     string        `json:"heights,omitempty"`

	MakerMm map[string]float64 `json:"maker_mm,omitempty"` // lengths by the maker, of a quick survey's lines
}

// BodyPoint is one point of a survey. At is where it is about, for drawings and
// the order of the list; Nominal is where the maker puts it.
type BodyPoint struct {
	ID        string     `json:"id"`
	Name      string     `json:"name,omitempty"`
	Touch     string     `json:"touch,omitempty"` // where the tape is held
	At        BodyPlace  `json:"at"`
	Nominal   *BodyPlace `json:"nominal,omitempty"`
	ScatterMm float64    `json:"scatter_mm,omitempty"` // build scatter of Nominal; 0: as the survey says
	Mirror    string     `json:"mirror,omitempty"`     // on a left point: the right one that mirrors it
	Floor     bool       `json:"floor,omitempty"`      // a mark on the floor, not a point of the body
}

// BodyPlace is a place: x forward, y left, z up.
type BodyPlace struct {
	XMm float64 `json:"x"`
	YMm float64 `json:"y"`
	ZMm float64 `json:"z"`
}

// The kinds of readings.
const (
	ReadDistance = "distance"
	ReadHeight   = "height"
	ReadLevel    = "level" // how much higher To is than From
)

// TapeLine is what is read: a distance between two points, the height of one, or
// the difference in height of two. A quick survey's lines are named in From.
type TapeLine struct {
	Kind string `json:"kind"`
	From string `json:"from"`
	To   string `json:"to,omitempty"`
}

// TapeReading is one reading of a line. Aside marks one that two others contradict.
type TapeReading struct {
	TapeLine
	Mm    float64 `json:"mm"`
	SDMm  float64 `json:"sd,omitempty"` // 0: as the survey says
	Aside bool    `json:"aside,omitempty"`
}

// The limits of a survey.
const (
	mostBodyPoints   = survey.MaxSketched
	mostTapeReadings = 2500
	mostPointID      = 20
	mostPointName    = 80
	farthestMm       = 20000.0
)

// JSON is how the survey is kept.
func (b BodySurvey) JSON() string {
	text, err := json.Marshal(b)
	if err != nil {
		return "" // numbers that were checked can always be written
	}
	return string(text)
}

// ReadBodySurvey reads a survey that was kept. A mistake is [*rebuild.Invalid].
func ReadBodySurvey(text string) (BodySurvey, error) {
	var b BodySurvey
	decoder := json.NewDecoder(bytes.NewReader([]byte(text)))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&b); err != nil {
		return b, invalidAt("points", "the survey cannot be read: "+err.Error())
	}
	return b, b.sound()
}

func (b BodySurvey) sound() error {
	if len(b.Points) > mostBodyPoints || len(b.Readings) > mostTapeReadings {
		return invalidAt("points", fmt.Sprintf("%d points and %d readings; at most %d and %d fit", len(b.Points), len(b.Readings), mostBodyPoints, mostTapeReadings))
	}
	if !slices.Contains([]string{SurveyWhole, SurveyQuick}, b.Mode) || !slices.Contains([]string{HeightsByNone, HeightsByPlane, HeightsByTube}, b.Heights) {
		return invalidAt("points", fmt.Sprintf("the survey is of an unknown kind: %q, heights %q", b.Mode, b.Heights))
	}
	seen := map[string]bool{}
	for _, p := range b.Points {
		if err := p.sound(); err != nil {
			return err
		}
		if seen[p.ID] {
			return invalidAt("id", fmt.Sprintf("%s stands there twice; each point needs a name of its own", p.ID))
		}
		seen[p.ID] = true
	}
	for i, r := range b.Readings {
		if err := b.soundLine(r.TapeLine); err != nil {
			return fmt.Errorf("reading %d: %w", i+1, err)
		}
	}
	return b.soundPairs()
}

func (p BodyPoint) sound() error {
	if err := soundPointID(p.ID); err != nil {
		return err
	}
	for _, text := range []string{p.Name, p.Touch} {
		if n := utf8.RuneCountInString(text); n > mostPointName {
			return invalidAt("name", fmt.Sprintf("%s: %d letters; at most %d fit", p.ID, n, mostPointName))
		}
	}
	places := []BodyPlace{p.At}
	if p.Nominal != nil {
		places = append(places, *p.Nominal)
	}
	for _, at := range places {
		for axis, v := range map[string]float64{"x": at.XMm, "y": at.YMm, "z": at.ZMm} {
			if math.IsNaN(v) || math.Abs(v) > farthestMm {
				return invalidAt(axis, fmt.Sprintf("%s: %s %g mm; expected at most %g mm either way", p.ID, axis, v, farthestMm))
			}
		}
	}
	return nil
}

func soundPointID(id string) error {
	odd := func(c rune) bool {
		return !unicode.IsLetter(c) && !unicode.IsDigit(c) && c != '-' && c != '.' && c != '_'
	}
	if n := utf8.RuneCountInString(id); n == 0 || n > mostPointID || strings.ContainsFunc(id, odd) {
		return invalidAt("id", fmt.Sprintf("%q is no name of a point; expected 1 to %d letters and digits, like L7", shortened(id), mostPointID))
	}
	return nil
}

func (b BodySurvey) soundPairs() error {
	of := map[string]string{}
	for _, p := range b.Points {
		if p.Mirror == "" {
			continue
		}
		if b.Point(p.Mirror) == nil {
			return invalidAt("mirror", fmt.Sprintf("%s mirrors %s, which is no point of this survey", p.ID, p.Mirror))
		}
		for _, id := range []string{p.ID, p.Mirror} {
			if other, taken := of[id]; taken || p.ID == p.Mirror {
				return invalidAt("mirror", fmt.Sprintf("%s cannot mirror %s: %s is in a pair with %s", p.ID, p.Mirror, id, cmp.Or(other, "itself")))
			}
		}
		of[p.ID], of[p.Mirror] = p.Mirror, p.ID
	}
	return nil
}

// Point finds a point; nil where there is none of that name.
func (b BodySurvey) Point(id string) *BodyPoint {
	i := slices.IndexFunc(b.Points, func(p BodyPoint) bool { return p.ID == id })
	if i < 0 {
		return nil
	}
	return &b.Points[i]
}

// Twin is the point that mirrors another; empty: none.
func (b BodySurvey) Twin(id string) string {
	for _, p := range b.Points {
		switch {
		case p.Mirror == "":
		case p.ID == id:
			return p.Mirror
		case p.Mirror == id:
			return p.ID
		}
	}
	return ""
}

// NewBodySurvey is a survey of the usual points of a set of package knowledge: left
// points L1, L2 ... from front to rear, right points R1, R2 ...
func NewBodySurvey(set string) BodySurvey {
	b := BodySurvey{Heights: HeightsByPlane}
	for i, p := range knowledge.SurveyPoints(set) {
		at := BodyPlace{p.XMm, p.YMm, p.ZMm}
		left := BodyPoint{ID: fmt.Sprintf("L%d", i+1), Name: p.Name, Touch: p.Touch, At: at, Mirror: fmt.Sprintf("R%d", i+1)}
		at.YMm = -at.YMm
		b.Points = append(b.Points, left, BodyPoint{ID: left.Mirror, Name: p.Name, Touch: p.Touch, At: at})
	}
	return b
}

// NewQuickSurvey is a survey of five lines.
func NewQuickSurvey() BodySurvey { return BodySurvey{Mode: SurveyQuick} }

func (b BodySurvey) soundLine(l TapeLine) error {
	if b.Mode == SurveyQuick {
		if !slices.Contains(QuickLines(), l) {
			return invalidAt("mm", fmt.Sprintf("there is no line %q in a quick survey", l.From))
		}
		return nil
	}
	ends := []string{l.From, l.To}
	switch l.Kind {
	case ReadHeight:
		ends = ends[:1]
	case ReadDistance, ReadLevel:
		if l.From == l.To {
			return invalidAt("to", fmt.Sprintf("%s to itself; expected two different points", l.From))
		}
	default:
		return invalidAt("kind", fmt.Sprintf("%q is nothing that is read here", l.Kind))
	}
	for i, id := range ends {
		if b.Point(id) == nil {
			return invalidAt([]string{"from", "to"}[i], fmt.Sprintf("%s is no point of this survey; expected one of %s", cmp.Or(id, "nothing"), firstFew(b.ids(), 12)))
		}
	}
	return nil
}

func (b BodySurvey) ids() []string {
	list := make([]string, len(b.Points))
	for i, p := range b.Points {
		list[i] = p.ID
	}
	return list
}

func firstFew(list []string, most int) string {
	if len(list) > most {
		return strings.Join(list[:most], ", ") + " …"
	}
	return strings.Join(list, ", ")
}

// Words says a line: "L3 to R7", "height of L3".
func (l TapeLine) Words() string {
	switch {
	case l.Kind == ReadHeight:
		return "height of " + l.From
	case l.Kind == ReadLevel:
		return l.From + " to " + l.To + ", difference in height"
	case l.To == "":
		return survey.QuickLine(l.From).Words()
	}
	return l.From + " to " + l.To
}

// same reports whether two lines are read alike; a distance has no direction.
func (l TapeLine) same(o TapeLine) bool {
	return l == o || l.Kind == o.Kind && l.Kind != ReadHeight && l.To != "" && l.From == o.To && l.To == o.From
}
