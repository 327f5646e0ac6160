package bond

// Layout is where the laps are.
type Layout string

// The layouts.
const (
	Single Layout = "single" // a strap or patch on one side
	Double Layout = "double" // a splint on both sides: First is either outer part, Second the one between
)

// Case is a bonded lap.
type Case struct {
	Holds          string // what it holds, in words
	SafetyCritical bool   // somebody's safety hangs on it
	Layout         Layout // empty: single

	LoadN, WidthMm, OverlapMm float64
	BondMm                    float64 // thickness of the adhesive
	First, Second             Adherend
	Adhesive                  Adhesive

	Preparation string // key of Tables.Preparations
	Service     string // key of Tables.Services
	HottestC    float64
	ColdestC    *float64
	StressFreeC *float64 // at which the bond set
	Factor      float64  // of safety; 0: 2

	Cure *Cure
}

// Adherend is one of the parts.
type Adherend struct {
	ModulusGPa    float64
	ThicknessMm   float64
	ExpansionPerK *float64 // for thermal stress; 23e-6 for aluminium
}

// Adhesive is what the sheet says.
type Adhesive struct {
	Kind     string  // key of Tables.Adhesives
	ShearMPa float64 // lap shear strength
	ShearGPa float64 // shear modulus
}

// Cure is how it sets.
type Cure struct {
	SheetHours, SheetC float64  // of the sheet: full cure at a temperature
	LeastC             *float64 // of the sheet, below which it must not be used
	MostC              *float64
	WorkshopC          float64
	EnergyKJMol        float64 // activation energy; 0: not known
}

// Tables are the knock-downs, handed over by whoever asks.
type Tables struct {
	Preparations []Knock
	Temperatures []Knock // UpToC in order
	Services     []Knock
	Adhesives    []Family
}

// Knock is a share of the sheet's strength that is left.
type Knock struct {
	Key, Name string
	Share     float64
	UpToC     float64 // of a temperature
	Source    string
}

// Family is a kind of adhesive with what to heed.
type Family struct {
	Key, Name string
	Hazards   []string // keys of cautions
	Cautions  []string
	Source    string
}

// DefaultFactor of safety: the load on a car is never known well.
const DefaultFactor = 2
