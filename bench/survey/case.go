package survey

// Distance is one reading between two points.
type Distance struct {
	From, To string
	Mm       float64
	SDMm     float64 // 0: 1 mm
	Row      int     // line of the file, for messages
}

// Height is one reading of a point over the level plane.
type Height struct {
	Point string
	Mm    float64
	SDMm  float64 // 0: 1.5 mm
	Row   int
}

// Level is how much higher To stands than From, levelled between the two; below
// 0 where it stands lower.
type Level struct {
	From, To string
	Mm       float64
	SDMm     float64 // 0: 1.5 mm
	Row      int
}

// Nominal is where a point ought to be: x forward, y left, z up, in mm.
type Nominal struct {
	Point   string
	X, Y, Z float64
	SDMm    float64 // build scatter in each direction; 0: 1 mm
	Row     int
}

// Pair is two points that mirror each other on a straight car.
type Pair struct {
	Left, Right string
	Row         int
}

// Case is a survey. Only the distances are needed.
type Case struct {
	Distances   []Distance
	Heights     []Height
	Levels      []Level
	Nominal     []Nominal
	Pairs       []Pair
	Floor       []string // marks on the floor among the points: they say which way is up where no height does
	ToleranceMm float64  // 0: 3 mm
}

// What is taken where a case says nothing.
const (
	UsualTapeSDMm    = 1.0 // ref: DESIGN_SURVEY
	UsualHeightSDMm  = 1.5 // ref: DESIGN_SURVEY
	UsualScatterMm   = 1.0 // of the build; ref: DESIGN_SURVEY
	UsualToleranceMm = 3.0 // ref: COMMON_PRACTICE
)

// The limits of a case.
const (
	MaxPoints    = 400
	MaxDistances = 6000
	longestMm    = 50000.0
	largestSDMm  = 100.0
	smallestSDMm = 0.001
)

// Input is the list that a mistake stands in.
type Input string

// The lists of a case.
const (
	InDistances Input = "distances"
	InHeights   Input = "heights"
	InLevels    Input = "levels"
	InNominal   Input = "nominal"
	InPairs     Input = "pairs"
	InQuick     Input = "readings"
	InSketch    Input = "points"
	InTolerance Input = "tolerance"
)

// InputError is a mistake in what was entered.
type InputError struct {
	Input    Input
	Row      int    // line of the file; 0 where it is about the whole list
	Problem  string // what is wrong, with the points' names
	Expected string
}

func (e *InputError) Error() string {
	return e.Problem + "; expected " + e.Expected
}

func mistake(in Input, row int, problem, expected string) error {
	return &InputError{Input: in, Row: row, Problem: problem, Expected: expected}
}

// withDefaults is the case with what was left out.
func (c Case) withDefaults() Case {
	c.Distances = append([]Distance(nil), c.Distances...)
	c.Heights = append([]Height(nil), c.Heights...)
	c.Levels = append([]Level(nil), c.Levels...)
	c.Nominal = append([]Nominal(nil), c.Nominal...)
	for k := range c.Distances {
		c.Distances[k].SDMm = orElse(c.Distances[k].SDMm, UsualTapeSDMm)
	}
	for k := range c.Heights {
		c.Heights[k].SDMm = orElse(c.Heights[k].SDMm, UsualHeightSDMm)
	}
	for k := range c.Levels {
		c.Levels[k].SDMm = orElse(c.Levels[k].SDMm, UsualHeightSDMm)
	}
	for k := range c.Nominal {
		c.Nominal[k].SDMm = orElse(c.Nominal[k].SDMm, UsualScatterMm)
	}
	c.ToleranceMm = orElse(c.ToleranceMm, UsualToleranceMm)
	return c
}

func orElse(v, otherwise float64) float64 {
	if v == 0 {
		return otherwise
	}
	return v
}
