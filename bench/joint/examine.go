package joint

import (
	"math"

	"wreckwright/working"
)

// examined is a joint while it is worked through.
type examined struct {
	c        Case
	tables   Tables
	r        Result
	strength Strength
	contact  Contact
	surface  Surface
	method   Method
	member   Material
	stiff    stiffness
	fitted   bool   // the head's size is in no table
	factorBy string // source of the nut factor
	clampNm  float64
	// twistedBy is the friction in the thread at the value (Value) and at the
	// ends of the preload (Low, High), not in the order of friction.
	twistedBy Spread
}

// Examine works a joint through. The error is an [*InputError].
func Examine(c Case, tables Tables) (Result, error) {
	e := examined{c: c, tables: tables}
	for _, step := range []func() error{e.read, e.rub, e.tighten, e.hold} {
		if err := step(); err != nil {
			return Result{}, err
		}
	}
	e.compare()
	e.judge()
	e.explain()
	return e.r, nil
}

// read takes thread, class and the tables' rows.
func (e *examined) read() error {
	if err := e.c.check(); err != nil {
		return err
	}
	t, err := ParseThread(e.c.Thread, e.tables)
	if err != nil {
		return err
	}
	if e.strength, err = e.tables.StrengthOf(t); err != nil {
		return err
	}
	if err := e.tables.checkNut(t, e.c.Nut); err != nil {
		return err
	}
	e.contact.Thread = t
	if err := e.readRows(); err != nil {
		return err
	}
	e.r = Result{
		Thread: t, Designation: t.Designation, DiameterMm: t.DiameterMm, PitchMm: t.PitchMm, PitchDiaMm: t.PitchDiameterMm(),
		MinorDiaMm: t.MinorDiameterMm(), StressArea: t.StressAreaMm2(), LeftHand: t.LeftHand, Class: t.Class,
		ProofKN: e.strength.ProofKN, YieldKN: e.strength.YieldKN, TensileKN: e.strength.TensileKN,
		Method: e.method.Key, Alpha: e.method.Alpha, PrevailingNm: e.c.PrevailingNm,
		Cautions: []string{}, Working: working.Working{},
	}
	return nil
}

// readRows takes surface, method, material and head.
func (e *examined) readRows() (err error) {
	if e.surface, err = e.tables.surface(e.c.Surface); err != nil {
		return err
	}
	if e.method, err = e.tables.method(e.c.Method, e.c.AngleDeg > 0); err != nil {
		return err
	}
	if e.member, err = e.tables.material(InMaterial, e.c.Material); err != nil {
		return err
	}
	e.contact.Head, e.fitted, err = e.tables.head(e.c.Head, e.contact.Thread)
	return err
}

// rub settles friction and nut factor.
func (e *examined) rub() error {
	e.factorBy = "own estimate"
	if e.c.Finish != "" {
		finish, err := e.tables.finish(e.c.Finish)
		if err != nil {
			return err
		}
		e.c.NutFactor, e.factorBy = &finish.NutFactor, finish.Source
	}
	c := e.c
	e.r.Surface = e.surface.Key
	e.r.Friction = Spread{e.surface.Likely, e.surface.Low, e.surface.High}
	switch {
	case c.Friction != nil:
		e.r.Friction = Spread{*c.Friction, *c.Friction, *c.Friction}
	case c.NutFactor != nil:
		// A nut factor does not say where the torque goes; alike in thread and
		// head is the usual guess, and friction stays within what surfaces have.
		mu := math.Min(math.Max(e.contact.FrictionOf(*c.NutFactor), LowestFriction), HighestFriction)
		e.r.Friction = Spread{mu, mu, mu}
	}
	e.r.HeadFriction = e.r.Friction
	if c.HeadFriction != nil {
		e.r.HeadFriction = Spread{*c.HeadFriction, *c.HeadFriction, *c.HeadFriction}
	}
	factor := func(thread, head float64) float64 { return e.contact.NutFactor(thread, head) }
	e.r.NutFactor = Spread{
		factor(e.r.Friction.Value, e.r.HeadFriction.Value), factor(e.r.Friction.Low, e.r.HeadFriction.Low), factor(e.r.Friction.High, e.r.HeadFriction.High),
	}
	if c.NutFactor != nil {
		e.r.NutFactor = Spread{*c.NutFactor, *c.NutFactor, *c.NutFactor}
	}
	return nil
}

// arm is torque over preload at a nut factor.
func (e *examined) arm(factor float64) float64 { return factor * e.r.DiameterMm }

// tighten works torque and preload out, one from the other.
func (e *examined) tighten() error {
	e.aim()
	switch {
	case e.c.TorqueNm != nil:
		return e.byTorque(*e.c.TorqueNm)
	case e.c.PreloadKN != nil:
		return e.byPreload(*e.c.PreloadKN)
	case e.r.Aim == nil:
		return wrong(InTorque, "the maker's torque", "no torque is reckoned for a conical seat: it would be far above what makers ask for wheels")
	}
	return e.byPreload(e.r.Aim.PreloadKN)
}

func (e *examined) aim() {
	if e.contact.Head.SeatDeg > 0 {
		return
	}
	share := e.c.ProofShare
	if share == 0 {
		share = DefaultProofShare
	}
	torque := share*e.r.ProofKN*e.arm(e.r.NutFactor.Value) + e.c.PrevailingNm
	e.r.Aim = &Aim{share, share * e.r.ProofKN, torque, LbfFoot.FromNm(torque)}
}

// scattered is the spread of a preload about its value.
func (e *examined) scattered(value float64) Spread {
	x := HalfWidth(e.snugAlpha())
	k := e.r.NutFactor
	return Spread{value, math.Min(value*(1-x), value*k.Value/k.High), math.Max(value*(1+x), value*k.Value/k.Low)}
}

// snugAlpha is the scatter of the torque: where an angle follows, that of a
// torque wrench, since the way's own scatter is that of the whole.
func (e *examined) snugAlpha() float64 {
	if e.c.AngleDeg > 0 {
		if m, err := e.tables.method(DefaultMethod, false); err == nil {
			return m.Alpha
		}
	}
	return e.method.Alpha
}

func (e *examined) byTorque(torque float64) error {
	e.clampNm = torque - e.c.PrevailingNm
	if e.clampNm <= 0 {
		return wrong(InTorque, "more than the running torque", "%s N·m never gets past the running torque of the nut, %s N·m: nothing is clamped", plain(torque), plain(e.c.PrevailingNm))
	}
	e.r.Preload = e.scattered(e.clampNm / e.arm(e.r.NutFactor.Value))
	part := WrenchLimit(math.Max(torque, e.c.WrenchNm))
	e.r.Torque = Spread{torque, torque * (1 - part), torque * (1 + part)}
	e.use()
	if e.r.Preload.Low > e.r.TensileKN {
		return wrong(InTorque, "at most "+downTo(e.r.MostNm)+" N·m on this surface", "%s N·m breaks a bolt %s: its preload would be %s kN at the least, and it tears at %s kN",
			plain(torque), e.r.Designation, short(e.r.Preload.Low), short(e.r.TensileKN))
	}
	return nil
}

func (e *examined) byPreload(preload float64) error {
	if preload > e.r.TensileKN {
		return wrong(InPreload, "at most "+downTo(e.r.ProofKN*0.9)+" kN", "%s kN breaks a bolt %s: it tears at %s kN", short(preload), e.r.Designation, short(e.r.TensileKN))
	}
	arm := e.arm(e.r.NutFactor.Value)
	e.clampNm = preload * arm
	e.r.Preload = e.scattered(preload)
	e.r.Torque = Spread{
		e.clampNm + e.c.PrevailingNm, e.clampNm*preload/e.r.Preload.High + e.c.PrevailingNm, e.clampNm*preload/e.r.Preload.Low + e.c.PrevailingNm,
	}
	e.use()
	return nil
}

// use works out the use of the yield strength and the largest torque of the
// joint. The ends of the preload come from friction above all, so that each end
// is twisted by the friction that would give it.
func (e *examined) use() {
	p := e.r.Preload
	e.r.TorqueIn = InUnits(e.r.Torque.Value)
	e.twistedBy = Spread{e.r.Friction.Value, e.frictionAt(p.Low), e.frictionAt(p.High)}
	e.reckon()
	e.r.MostNm = e.clampNm*mostUseAtEnd/e.r.Utilisation.High + e.c.PrevailingNm
}

// frictionAt is the friction by which the torque gives a preload.
func (e *examined) frictionAt(preloadKN float64) float64 {
	mu := e.contact.FrictionOf(e.clampNm / (preloadKN * e.r.DiameterMm))
	return math.Min(math.Max(mu, LowestFriction), HighestFriction)
}

// reckon brings shares and use up to date with the preload.
func (e *examined) reckon() {
	p, mu := e.r.Preload, e.twistedBy
	t, yield := e.r.Thread, e.strength.YieldMPa
	e.r.Utilisation = Spread{t.Utilisation(p.Value, mu.Value, yield), t.Utilisation(p.Low, mu.Low, yield), t.Utilisation(p.High, mu.High, yield)}
	e.r.Shares = Spread{p.Value / e.r.ProofKN, p.Low / e.r.ProofKN, p.High / e.r.ProofKN}
	e.r.ProofShare = e.r.Shares.Value
}

// hold adds the angle, the tapped thread, the face under the head and the outer
// load.
func (e *examined) hold() (err error) {
	if e.c.AngleDeg > 0 || e.c.LoadKN != nil {
		if e.stiff, err = e.c.stiff(e.contact, e.member); err != nil {
			return err
		}
	}
	e.turned()
	if e.r.Engagement, err = e.engaged(); err != nil {
		return err
	}
	e.r.Pressure = e.pressure()
	if e.r.Wheel, err = wheelOf(e.c.Studs); err != nil {
		return err
	}
	e.r.Load = e.loaded()
	return nil
}

// compare puts the same torque on every surface known.
func (e *examined) compare() {
	e.r.Conditions = []Condition{}
	if e.c.AngleDeg > 0 {
		return
	}
	for _, s := range e.tables.Surfaces {
		preload := e.clampNm / e.contact.ArmMm(s.Likely, s.Likely)
		use := e.r.Thread.Utilisation(preload, s.Likely, e.strength.YieldMPa)
		share := preload / e.r.ProofKN
		e.r.Conditions = append(e.r.Conditions, Condition{
			Key: s.Key, Name: s.Name, Friction: s.Likely, PreloadKN: preload, ProofShare: share, Utilisation: use, State: stateOf(e.contact.Head, e.r.Thread, share, use),
		})
	}
}
