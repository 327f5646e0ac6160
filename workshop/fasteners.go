package workshop

import (
	"wreckwright/bench/joint"
	"wreckwright/knowledge"
)

const mmPerInch = 25.4

// JointTables are knowledge's tables of threads and fasteners as the engine takes
// them.
func JointTables() joint.Tables {
	var t joint.Tables
	for _, s := range knowledge.ThreadSizes() {
		t.Threads = append(t.Threads, threadSize(s))
	}
	for _, c := range knowledge.StrengthClasses() {
		t.Classes = append(t.Classes, strengthClass(c))
	}
	for _, n := range knowledge.NutClasses() {
		t.Nuts = append(t.Nuts, joint.Nut{Name: n.Class, Carries: n.Carries, Thin: n.Thin, Source: n.Refs.String()})
	}
	for _, f := range knowledge.BearingFaces() {
		t.Heads = append(t.Heads, jointHead(f))
	}
	for _, f := range knowledge.FrictionRanges() {
		t.Surfaces = append(t.Surfaces, joint.Surface{Key: f.Key, Name: f.Name, Low: f.Low, Likely: f.Likely, High: f.High, Dry: f.Dry, Source: f.Refs.String()})
	}
	for _, n := range knowledge.NutFactors() {
		t.NutFactors = append(t.NutFactors, joint.Finish{Key: n.Key, Name: n.Name, NutFactor: n.Factor, Source: n.Refs.String()})
	}
	for _, m := range knowledge.TighteningMethods() {
		t.Methods = append(t.Methods, joint.Method{Key: m.Key, Name: m.Name, Alpha: m.Factor, AlphaLow: m.Low, AlphaHigh: m.High, Source: m.Refs.String()})
	}
	for _, m := range knowledge.ClampedMaterials() {
		t.Materials = append(t.Materials, joint.Material{
			Key: m.Key, Name: m.Name, ModulusGPa: m.ModulusGPa, PressureMPa: m.PressureMPa, ShearMPa: m.ShearMPa, Source: m.Refs.String(),
		})
	}
	for _, p := range knowledge.PrevailingTorques() {
		t.Prevailing = append(t.Prevailing, joint.Prevailing{Size: p.Thread, FirstOnNm: p.FirstOn, FirstOffNm: p.FirstOff, FifthOffNm: p.FifthOff, Source: p.Refs.String()})
	}
	return t
}

func jointHead(f knowledge.BearingFace) joint.Head {
	scale := 1.0
	if f.Unit == "in" {
		scale = mmPerInch
	}
	return joint.Head{
		Kind: f.Kind, System: joint.System(f.System), DiameterMm: scale * f.Diameter,
		BearingMm: scale * f.Bearing, HoleMm: scale * f.Hole, SeatDeg: f.SeatDeg, Source: f.Refs.String(),
	}
}

func threadSize(s knowledge.ThreadSize) joint.ThreadSize {
	out := joint.ThreadSize{System: joint.System(s.System), Name: s.Name, DiameterMm: s.Diameter, Source: s.Refs.String()}
	if s.Coarse > 0 {
		out.Pitches = append(out.Pitches, joint.Pitch{Mm: s.Coarse, Series: "coarse"})
	}
	for _, p := range s.Fine {
		out.Pitches = append(out.Pitches, joint.Pitch{Mm: p, Series: "fine"})
	}
	if out.System != joint.Unified {
		return out
	}
	out.DiameterMm = mmPerInch * s.Diameter
	for _, p := range []struct {
		series  string
		perInch float64
	}{{"UNC", s.UNC}, {"UNF", s.UNF}, {"UNS", s.UNS}} {
		if p.perInch > 0 {
			out.Pitches = append(out.Pitches, joint.Pitch{Mm: mmPerInch / p.perInch, PerInch: p.perInch, Series: p.series})
		}
	}
	return out
}

func strengthClass(c knowledge.StrengthClass) joint.Class {
	stress, length := 1.0, 1.0
	if c.Unit == "ksi" {
		stress = joint.MPaPerKsi
	}
	if c.System == string(joint.Unified) {
		length = mmPerInch
	}
	return joint.Class{
		Name: c.Class, System: joint.System(c.System), OverMm: length * c.Over, UpToMm: length * c.UpTo,
		TensileMPa: stress * c.Tensile, YieldMPa: stress * c.Yield, ProofMPa: stress * c.Proof, Stainless: c.Stainless, Source: c.Refs.String(),
	}
}
