package diagnose

// Case is one diagnosis. Indices into Faults, Tests and Repairs are used inside
// the package; the slices beside a fault are in the order of Faults.
type Case struct {
	Symptom   string
	Currency  string  // ISO 4217
	HourValue float64 // what an own hour is worth; cost = money + HourValue x minutes / 60
	// Several is the most faults that may be present at once: 1 or 2. With 1 the
	// priors are scaled to sum 1; with 2 they are independent chances.
	Several    int
	Faults     []Fault
	Tests      []Test
	Repairs    []Repair
	ReplaceAll *ReplaceAll // nil: the whole unit cannot be had
	Evidence   []Evidence  // in the order in which it came
}

// Fault is a possible cause of the symptom.
type Fault struct {
	ID    string
	Name  string
	Prior float64
}

// Test is something to look at or measure. Either Outcomes with Chance, or
// Measured is given.
type Test struct {
	ID      string
	Name    string
	Cost    float64
	Minutes float64
	// Repeatable says that doing it again is a fresh, independent reading.
	Repeatable bool
	Outcomes   []string    // names, in the order of the file
	Chance     [][]float64 // [fault][outcome], each row sums to 1
	// Healthy is the chance of each outcome with no fault at all, for cases with
	// several faults; nil: the row of the fault that disturbs the test least, which
	// is the one that shows the faults' commonest outcome most.
	Healthy  []float64
	Measured []Reading // [fault]: the distribution of the reading
}

// Shape is the kind of distribution of a measured reading.
type Shape string

// The shapes.
const (
	Normal    Shape = "normal"    // Centre is the mean, Spread the standard deviation
	Lognormal Shape = "lognormal" // Centre is the median, Spread the geometric standard deviation (> 1)
)

// Reading is how a measured test comes out under one fault.
type Reading struct {
	Shape          Shape
	Centre, Spread float64
}

// Repair is work that may cure the symptom; its cost includes the check of the
// symptom afterwards, which is certain.
type Repair struct {
	ID      string
	Name    string
	Cost    float64
	Minutes float64
	Fixes   []float64 // [fault]: chance that it cures that fault
}

// ReplaceAll is the whole unit: it cures everything.
type ReplaceAll struct {
	Cost    float64
	Minutes float64
}

// Evidence is one thing tried: exactly one of Test, Repair and Likelihood is
// set.
type Evidence struct {
	Test    string   // ID
	Outcome string   // of a test with outcomes
	Value   *float64 // of a measured test
	ValueSD float64  // standard uncertainty of Value in its unit; 0: exact

	Repair string // ID
	Cured  bool

	// Likelihood is how likely a finding from elsewhere (another case, a road
	// test) is under each fault, up to a common factor; Note names it.
	Likelihood []float64
	Note       string

	Line int // in the file, for messages; 0: not from a file
}
