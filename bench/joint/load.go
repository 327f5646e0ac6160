package joint

// Share is the part of an outer load that the bolt feels.
//
// ref: SHIGLEY eq. 8-24
func Share(bolt, member float64) float64 { return bolt / (bolt + member) }

// Carried is what a bolt and its clamped parts carry under an outer load. Where
// the load is more than preload / (1 - share) the parts come apart and the bolt
// carries all of it; the usual formula would go on with a clamp force below
// zero.
//
// ref: SHIGLEY eq. 8-24
func Carried(preload, load, share float64) (bolt, clamp float64, separated bool) {
	clamp = preload - (1-share)*load
	if clamp < 0 {
		return load, 0, true
	}
	return preload + share*load, clamp, false
}

// Factors are the safety factors of a joint under an outer load: against the
// proof force with all of it, by how much the load may grow until then, and
// until the parts come apart.
//
// ref: SHIGLEY eq. 8-28
func Factors(preload, load, share, proof float64) (yielding, overload, separation float64) {
	return proof / (share*load + preload), (proof - preload) / (share * load), preload / (load * (1 - share))
}

// loaded is the joint under its outer load.
func (e *examined) loaded() *Loaded {
	if e.c.LoadKN == nil {
		return nil
	}
	share := Share(e.stiff.bolt, e.stiff.member)
	load := *e.c.LoadKN
	l := &Loaded{LoadKN: load, Share: share, SeparatesKN: e.r.Preload.Value / (1 - share)}
	l.BoltKN, l.MemberKN, l.Separated = Carried(e.r.Preload.Value, load, share)
	_, l.AtLowestKN, _ = Carried(e.r.Preload.Low, load, share)
	return l
}
