package survey

import "wreckwright/working"

// Verdicts.
const (
	Pass       = "pass"
	Fail       = "fail"
	CannotTell = "cannot tell"
)

// What the points were compared with.
const (
	AgainstNominal = "nominal"
	AgainstMirror  = "mirror"
	AgainstNothing = "nothing"
)

// Result is a survey worked out. Lengths in mm, x forward, y left, z up.
type Result struct {
	Points    []Point    `json:"points"`
	Residuals []Residual `json:"residuals"`
	Sigma0    float64    `json:"sigma0"` // scatter of the residuals against the doubt entered; 0 without redundancy
	Chi2      Chi2       `json:"chi2"`
	Blunders  []Blunder  `json:"blunders"`
	Suspects  []Suspect  `json:"suspects"`
	Moved     []Moved    `json:"moved"`
	Weak      []Weak     `json:"weak"`
	Verdict   string     `json:"verdict"`
	Why       string     `json:"why"`

	Dimensions  int             `json:"dimensions"`
	Defect      int             `json:"defect"`
	Against     string          `json:"against"`
	ToleranceMm float64         `json:"tolerance_mm"`
	Compared    []Compared      `json:"compared"`
	Congruence  *Congruence     `json:"congruence"`
	Groups      []string        `json:"groups"`
	Notes       []string        `json:"notes"`
	Cautions    []string        `json:"cautions"`
	Working     working.Working `json:"working"`
}

// Point is an adjusted point; without heights and depth it has no z.
type Point struct {
	ID string   `json:"id"`
	X  float64  `json:"x"`
	Y  float64  `json:"y"`
	Z  *float64 `json:"z"`
	SX float64  `json:"sx"`
	SY float64  `json:"sy"`
	SZ *float64 `json:"sz"`
}

// Residual is one reading after the adjustment; a height has no To. The kinds are
// distance, height and level.
type Residual struct {
	Kind       string  `json:"kind"`
	From       string  `json:"from"`
	To         string  `json:"to"`
	Mm         float64 `json:"mm"`
	ResidualMm float64 `json:"residual_mm"` // adjusted - read
	W          float64 `json:"w"`
	Redundancy float64 `json:"redundancy"` // share of an error that shows; 0 for one taken out
	Out        bool    `json:"out"`
	Line       int     `json:"line"`
}

// OffMm is read - adjusted: above 0 it reads too long, as [Blunder].ByMm.
func (r Residual) OffMm() float64 { return -r.ResidualMm }

// InDoubts is OffMm in its own doubts, with the same sign.
func (r Residual) InDoubts() float64 { return -r.W }

// Chi2 is the weighted sum of squared residuals with its bounds.
type Chi2 struct {
	Value float64 `json:"value"`
	DoF   int     `json:"dof"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// ReadingName is a reading in words.
func ReadingName(kind, from, to string) string {
	switch kind {
	case height.String():
		return "height of " + from
	case level.String():
		return "level of " + to + " over " + from
	}
	return from + " to " + to
}

// Name is the reading in words.
func (r Residual) Name() string { return ReadingName(r.Kind, r.From, r.To) }

// Blunder is a reading taken out.
type Blunder struct {
	Kind string  `json:"kind"`
	From string  `json:"from"`
	To   string  `json:"to"`
	ByMm float64 `json:"by_mm"` // read - what the others foretell: positive reads too long
	SDMm float64 `json:"sd_mm"`
	Line int     `json:"line"`
}

// Suspect is a set of readings of which one is wrong, and none can be told from
// the others.
type Suspect struct {
	Readings []string `json:"readings"`
	Why      string   `json:"why"`
}

// Moved is a point, or with mirror symmetry a pair, that is not where it was.
type Moved struct {
	ID           string    `json:"id"`
	DX           float64   `json:"dx"`
	DY           float64   `json:"dy"`
	DZ           float64   `json:"dz"`
	SizeMm       float64   `json:"size_mm"`
	Significance float64   `json:"significance"` // chance that so much appears where nothing moved, corrected for all points tested
	HalfAxesMm   []float64 `json:"half_axes_mm"` // of the 95 % ellipsoid
	Where        string    `json:"where"`

	sure [3]bool // the direction in which it moved is beyond its doubt (95 %)
}

// Compared is one point or pair against the tolerance.
type Compared struct {
	ID      string    `json:"id"`
	D       []float64 `json:"d_mm"`
	SD      []float64 `json:"sd_mm"`
	Verdict string    `json:"verdict"`
}

// Congruence is the test of all points, and of those that stand still.
type Congruence struct {
	Before Chi2 `json:"before"`
	After  Chi2 `json:"after"`
}

// Weak is a point that the readings do not fix.
type Weak struct {
	ID        string   `json:"id"`
	SDMm      float64  `json:"sd_mm"` // one standard deviation; twice that is over the limit
	Direction string   `json:"direction"`
	Measure   []string `json:"measure"`
	SDThenMm  float64  `json:"sd_then_mm"`
}
