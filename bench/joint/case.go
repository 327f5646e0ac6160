package joint

// Case is a joint to examine: a thread, and a torque, a preload or neither (then
// the torque for ProofShare is worked out).
type Case struct {
	Thread string // designation with class: "M10x1.25-10.9"
	Nut    string // class of the nut; empty: not said

	TorqueNm   *float64 // what the wrench is set to, running torque of a lock nut included
	PreloadKN  *float64
	ProofShare float64 // preload aimed at as a share of the proof force; 0: 0.75

	Friction     *float64 // of thread and face alike
	HeadFriction *float64 // under the head, where it differs
	NutFactor    *float64 // K of T = K d F, in place of friction
	Finish       string   // key of Tables.NutFactors, in place of a nut factor
	Surface      string   // key of Tables.Surfaces; empty: "oiled"
	Method       string   // key of Tables.Methods; empty: "wrench", "angle" where an angle is given
	Head         string   // kind of Tables.Heads; empty: "hex"
	PrevailingNm float64  // running torque of a lock nut, measured

	AngleDeg     float64  // turned on after the torque; 0: none
	GripMm       float64  // clamped thickness; 0: not said
	Material     string   // of what is clamped: key of Tables.Materials; empty: "steel"
	BoltKNMm     *float64 // stiffness of the bolt, in place of the one worked out
	MemberKNMm   *float64 // stiffness of what is clamped
	NewBolt      bool     // the bolt is new and the maker turns it past yield
	EngagementMm float64  // length of thread in a tapped hole; 0: a nut, or not said
	Into         string   // material of the tapped hole: key of Tables.Materials
	WrenchNm     float64  // largest torque of the wrench; 0: not said
	Studs        int      // of a wheel: the order of tightening is told; 0: no wheel
	LoadKN       *float64 // outer load along the bolt, on this bolt
}

// The choices where nothing is said.
const (
	DefaultSurface    = "oiled"
	DefaultMethod     = "wrench"
	AngleMethod       = "angle"
	DefaultHead       = "hex"
	DefaultMaterial   = "steel"
	DefaultProofShare = 0.75
)
