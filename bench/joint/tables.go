package joint

// Tables are what the engine knows of fasteners. They are handed over by
// whoever asks, so that the figures can be read and corrected as data; every row
// names its source. Package knowledge holds the lists.
type Tables struct {
	Threads    []ThreadSize
	Classes    []Class
	Nuts       []Nut
	Heads      []Head
	Surfaces   []Surface
	NutFactors []Finish
	Methods    []Method
	Materials  []Material
	Prevailing []Prevailing
}

// ThreadSize is one nominal diameter of a system with its pitches.
type ThreadSize struct {
	System     System
	Name       string // "M10", "3/8", "#10"
	DiameterMm float64
	Pitches    []Pitch // the coarse one first, where there is one
	Source     string
}

// System is a family of threads.
type System string

// The systems.
const (
	Metric  System = "metric"
	Unified System = "unified"
)

// Pitch is one pitch of a size: a length of metric threads, threads per inch of
// unified ones.
type Pitch struct {
	Mm      float64 // of either system
	PerInch float64 // 0 for metric
	Series  string  // "coarse", "fine", "UNC", "UNF"
}

// Class is a strength class of bolts over a span of diameters.
type Class struct {
	Name       string // "8.8", "A2-70", "grade 5"
	System     System // of the threads that it is made in
	OverMm     float64
	UpToMm     float64
	TensileMPa float64
	YieldMPa   float64 // lower yield or 0.2 % point
	ProofMPa   float64 // 0: the standard names none
	Stainless  bool
	Source     string
}

// Nut is a strength class of nuts and the strongest bolts that it carries.
type Nut struct {
	Name    string   // "8", "grade 5", "70"
	Carries []string // names of bolt classes
	Thin    bool     // half height: never carries a bolt's preload alone
	Source  string
}

// Head is a kind of head or nut face in one size: what it bears on.
type Head struct {
	Kind       string // "hex", "flange", "socket", "cone"
	System     System
	DiameterMm float64 // of the thread
	BearingMm  float64 // outer diameter of the bearing face
	HoleMm     float64 // clearance hole
	SeatDeg    float64 // full angle of a conical seat; 0: flat
	Source     string
}

// Surface is a state of threads and faces with its friction.
type Surface struct {
	Key               string // "oiled"
	Name              string // "light oil"
	Low, Likely, High float64
	Dry               bool
	Source            string
}

// Finish is a published nut factor.
type Finish struct {
	Key       string // "zinc"
	Name      string
	NutFactor float64
	Source    string
}

// Method is a way of tightening and how far its preloads scatter.
type Method struct {
	Key       string  // "wrench"
	Name      string  // "torque wrench, friction estimated"
	Alpha     float64 // largest preload over smallest, as reckoned with
	AlphaLow  float64
	AlphaHigh float64
	Source    string
}

// Material is what is clamped or tapped.
type Material struct {
	Key         string
	Name        string
	ModulusGPa  float64
	PressureMPa float64 // what the surface under a head bears
	ShearMPa    float64 // ultimate, of a tapped thread
	Source      string
}

// Prevailing is the running torque of nuts with a locking feature in one size.
type Prevailing struct {
	Size       string  // "M8"
	FirstOnNm  float64 // largest
	FirstOffNm float64 // least
	FifthOffNm float64 // least
	Source     string
}
