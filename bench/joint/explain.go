package joint

import "fmt"

// explain writes the working and the cautions.
func (e *examined) explain() {
	e.explainBolt()
	e.explainTightening()
	e.explainMore()
	e.warn()
}

func (e *examined) explainBolt() {
	w, t := &e.r.Working, e.r.Thread
	class := e.strength.Class
	w.Add("pitch diameter d2", "d - 0.649519 P", t.PitchDiameterMm(), "mm", "ISO_724 basic dimensions")
	minor, area := "d - 1.226869 P", "ISO_898_1 clause 9"
	if t.System == Unified {
		minor, area = "d - 1.299038 P", "ASME_B1_1 stress area"
	}
	w.Add("minor diameter d3", minor, t.MinorDiameterMm(), "mm", "ISO_724 basic dimensions")
	w.Add("stress area", "pi/4 ((d2 + d3)/2)^2", t.StressAreaMm2(), "mm2", area)
	w.Add("yield strength of class "+class.Name, "from the table", e.strength.YieldMPa, "MPa", class.Source)
	if e.strength.ProofAssumed {
		w.Add("proof stress of class "+class.Name, "0.85 of the yield: the class names none", e.strength.ProofMPa, "MPa", "SHIGLEY eq. 8-31")
	} else {
		w.Add("proof stress of class "+class.Name, "from the table", e.strength.ProofMPa, "MPa", class.Source)
	}
	w.Add("proof force", "stress area x proof stress", e.r.ProofKN, "kN", "ISO_898_1 clause 9")
	w.Add("yield force", "stress area x yield strength", e.r.YieldKN, "kN", "ISO_898_1 clause 9")
}

func (e *examined) explainTightening() {
	w, h := &e.r.Working, e.contact.Head
	w.Add("mean bearing diameter under the head", "(bearing face + hole)/2", h.MeanMm(), "mm", h.Source)
	if e.c.NutFactor != nil {
		w.Add("nut factor K", "as given", e.r.NutFactor.Value, "", e.factorBy)
		w.Add("friction that it stands for", "(K d - 0.16 P)/(0.58 d2 + Dkm/2)", e.r.Friction.Value, "", "VDI_2230 M_A")
	} else {
		source := e.surface.Source
		if e.c.Friction != nil {
			source = "own estimate"
		}
		w.Add("friction in the thread", fmt.Sprintf("%s, %s to %s", e.frictionName(), plain(e.r.Friction.Low), plain(e.r.Friction.High)), e.r.Friction.Value, "", source)
		w.Add("nut factor K", "(0.16 P + 0.58 d2 muG + Dkm/2 muK)/d", e.r.NutFactor.Value, "", "VDI_2230 M_A")
		parts := e.contact.Shares(e.r.Friction.Value, e.r.HeadFriction.Value)
		w.Add("share of the torque that stretches the bolt", "0.16 P/(K d)", parts.Stretch, "", "VDI_2230 M_A")
	}
	snug := e.r.Preload
	if e.r.Angle != nil {
		snug = e.r.Angle.SnugKN
	}
	w.Add("torque", "K d F + running torque of the nut", e.r.Torque.Value, "N·m", "VDI_2230 M_A")
	w.Add("preload of the torque", "(torque - running torque)/(K d)", snug.Value, "kN", "VDI_2230 M_A")
	w.Add("largest over smallest preload", e.method.Name, e.snugAlpha(), "", e.method.Source)
	w.Add("lowest preload", "the lower of F (1 - x), x = (a - 1)/(a + 1), and F at the highest friction", snug.Low, "kN", "VDI_2230 tightening factor")
	w.Add("highest preload", "the higher of F (1 + x) and F at the lowest friction", snug.High, "kN", "VDI_2230 tightening factor")
}

func (e *examined) frictionName() string {
	if e.c.Friction != nil {
		return "as given"
	}
	return e.surface.Name
}

func (e *examined) explainMore() {
	w := &e.r.Working
	if a := e.r.Angle; a != nil {
		w.Add("stiffness of the bolt", "area x modulus / length, in series", a.BoltKNMm, "kN/mm", "SHIGLEY eq. 8-17")
		w.Add("stiffness of the clamped parts", "two cones of 30 degrees", a.MemberKNMm, "kN/mm", "SHIGLEY eq. 8-20")
		w.Add("preload of a degree", "P/360 / (1/kb + 1/km + give of head and thread)", a.KNPerDeg, "kN", "VDI_2230 resilience of head and engaged thread")
		w.Add("preload after the angle", "at most where the bolt yields", e.r.Preload.Value, "kN", "DESIGN_JOINT thresholds")
	}
	w.Add("share of the proof force", "preload / proof force", e.r.ProofShare, "", "own estimate")
	w.Add("use of the yield strength while turning", "F sqrt(1 + 3 (3/2 d2/d0 (P/(pi d2) + 1.155 muG))^2)/(A yield)", e.r.Utilisation.Value, "", "VDI_2230 F_M")
	if g := e.r.Engagement; g != nil {
		w.Add("force that strips the hole", "7/8 pi d L x shear strength of "+g.Into, g.StripsHoleKN, "kN", "FED_STD_H28 shear area of threads")
		w.Add("force that strips the bolt", "3/4 pi D1 L x 0.6 tensile strength", g.StripsBoltKN, "kN", "FED_STD_H28 shear area of threads")
	}
	if b := e.r.Pressure; b != nil {
		w.Add("pressure under the head", "preload / ring of the bearing face", b.PressureMPa, "MPa", e.member.Source)
	}
	if l := e.r.Load; l != nil {
		w.Add("share of the load that the bolt feels", "kb/(kb + km)", l.Share, "", "SHIGLEY eq. 8-24")
		w.Add("force of the bolt under the load", "F + C P, or P where the joint has opened", l.BoltKN, "kN", "SHIGLEY eq. 8-24")
	}
}

// warn says what a figure alone does not.
func (e *examined) warn() {
	add := func(text string, args ...any) { e.r.Cautions = append(e.r.Cautions, fmt.Sprintf(text, args...)) }
	add("the maker's torque, angle and procedure stand above this reckoning; for hub nuts, brakes, steering and restraints use only the maker's figure")
	if e.r.LeftHand {
		add("left-hand thread: it tightens anticlockwise")
	}
	e.warnBolt(add)
	if e.fitted {
		add("no table has a %s head in this size: its bearing face is drawn from its neighbours", e.contact.Head.Kind)
	}
	if e.surface.Dry && e.c.Friction == nil && e.c.NutFactor == nil {
		add("the torque holds for dry threads: with oil on them the same torque stretches the bolt far more")
	}
	if e.method.Key == "impact" {
		add("an impact wrench tells nothing of the preload: finish by hand with a torque wrench")
	}
	if e.r.Angle != nil {
		add("a degree adds at most what the stiffnesses take up; coatings, gaskets and embedding take some of it")
		if e.r.Angle.NewBoltAlways {
			add("turned past yield: new bolt each time")
		}
	}
	e.warnNut(add)
	e.warnWrench(add)
	if g := e.r.Engagement; g != nil && !g.BoltFirst {
		add("the thread of the hole gives before the bolt does, and gives no warning; %s mm of thread let the bolt break first", upTo(g.EnoughMm))
	}
	e.warnFace(add)
}

func (e *examined) warnBolt(add func(string, ...any)) {
	class := e.strength.Class
	if class.Stainless {
		add("stainless threads seize: turn slowly, with a paste, and reckon with its friction")
	}
	if e.strength.ProofAssumed {
		add("class %s names no proof force: 0.85 of the yield force stands in", class.Name)
	}
	if class.System == Unified && e.r.DiameterMm < 6.35 {
		add("the grades of SAE J429 begin at 1/4 inch: their strength is taken for this size too")
	}
	if class.TensileMPa >= 1200 {
		add("bolts of this class crack from hydrogen: never plate, pickle or weld near them")
	}
}

// warnFace speaks of the face under the head where the verdict does not.
func (e *examined) warnFace(add func(string, ...any)) {
	b := e.r.Pressure
	switch {
	case b == nil || b.HighMPa <= b.LimitMPa:
	case b.Within:
		add("at the slippery end the face under the head is pressed with %s MPa, and %s bears %s", short(b.HighMPa), b.Material, short(b.LimitMPa))
	case e.c.Material == "":
		add("if %s is clamped, its face is pressed with %s MPa and bears %s: put a hard washer under the head", b.Material, short(b.PressureMPa), short(b.LimitMPa))
	}
}

// warnNut speaks of a nut with a locking feature.
func (e *examined) warnNut(add func(string, ...any)) {
	running := e.c.PrevailingNm
	if running == 0 {
		return
	}
	add("take the running torque as measured while the nut turns free, and add it to the torque that clamps")
	row, ok := e.tables.running(e.r.Thread.Size)
	switch {
	case !ok:
	case running < row.FirstOffNm:
		add("a lock nut %s that runs with %s N·m is worn out (%s N·m is the least when it first comes off): new nut", row.Size, plain(running), plain(row.FirstOffNm))
	case running > row.FirstOnNm:
		add("a lock nut %s runs with %s N·m at most: at %s N·m look for a damaged thread", row.Size, plain(row.FirstOnNm), plain(running))
	}
}

// warnWrench speaks of the wrench's range.
//
// ref: ISO_6789 points of a check
func (e *examined) warnWrench(add func(string, ...any)) {
	largest, torque := e.c.WrenchNm, e.r.Torque.Value
	switch {
	case largest == 0:
	case torque > largest:
		add("the wrench ends at %s N·m: it cannot give %s", plain(largest), short(torque))
	case torque < 0.2*largest:
		add("wrenches are checked from a fifth of their largest torque on: at %s N·m one of %s N·m tells little", short(torque), plain(largest))
	}
}
