package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// ThreadSize is a nominal diameter with its pitches.
type ThreadSize struct {
	Name     string    `yaml:"name"`
	System   string    `yaml:"system"`   // metric or unified
	Diameter float64   `yaml:"diameter"` // mm; inches of unified threads
	Coarse   float64   `yaml:"coarse"`   // pitch, mm; 0: none
	Fine     []float64 `yaml:"fine"`     // pitches, mm
	UNC      float64   `yaml:"unc"`      // threads an inch; 0: none
	UNF      float64   `yaml:"unf"`
	UNS      float64   `yaml:"uns"`
	Refs     Refs      `yaml:"ref"`
}

// StrengthClass is a class of bolts over a span of diameters.
type StrengthClass struct {
	Class     string  `yaml:"class"`
	System    string  `yaml:"system"`
	Over      float64 `yaml:"over"` // diameter, mm; inches of unified threads
	UpTo      float64 `yaml:"upto"`
	Tensile   float64 `yaml:"tensile"` // in Unit
	Yield     float64 `yaml:"yield"`
	Proof     float64 `yaml:"proof"` // 0: none named
	Unit      string  `yaml:"unit"`  // MPa where empty, or ksi
	Stainless bool    `yaml:"stainless"`
	Refs      Refs    `yaml:"ref"`
}

// NutClass is a class of nuts.
type NutClass struct {
	Class   string   `yaml:"class"`
	Carries []string `yaml:"carries"` // classes of bolts
	Thin    bool     `yaml:"thin"`
	Refs    Refs     `yaml:"ref"`
}

// BearingFace is what a head bears on.
type BearingFace struct {
	Kind     string  `yaml:"kind"`
	System   string  `yaml:"system"`
	Diameter float64 `yaml:"diameter"` // in Unit, of the thread
	Bearing  float64 `yaml:"bearing"`
	Hole     float64 `yaml:"hole"`
	SeatDeg  float64 `yaml:"seat_deg"` // 0: flat
	Unit     string  `yaml:"unit"`     // mm where empty, or in
	Refs     Refs    `yaml:"ref"`
}

// FrictionRange is the friction of a surface.
type FrictionRange struct {
	Key    string  `yaml:"key"`
	Name   string  `yaml:"name"`
	Low    float64 `yaml:"low"`
	Likely float64 `yaml:"likely"`
	High   float64 `yaml:"high"`
	Dry    bool    `yaml:"dry"`
	Refs   Refs    `yaml:"ref"`
}

// NutFactor is a published K of T = K d F.
type NutFactor struct {
	Key    string  `yaml:"key"`
	Name   string  `yaml:"name"`
	Factor float64 `yaml:"factor"`
	Refs   Refs    `yaml:"ref"`
}

// TighteningMethod is a way of tightening and its scatter.
type TighteningMethod struct {
	Key    string  `yaml:"key"`
	Name   string  `yaml:"name"`
	Factor float64 `yaml:"factor"` // largest over smallest preload
	Low    float64 `yaml:"low"`
	High   float64 `yaml:"high"`
	Refs   Refs    `yaml:"ref"`
}

// ClampedMaterial is what is clamped or tapped.
type ClampedMaterial struct {
	Key         string  `yaml:"key"`
	Name        string  `yaml:"name"`
	ModulusGPa  float64 `yaml:"modulus"`
	PressureMPa float64 `yaml:"pressure"`
	ShearMPa    float64 `yaml:"shear"`
	Refs        Refs    `yaml:"ref"`
}

// PrevailingTorque is the running torque of lock nuts of a size, N·m.
type PrevailingTorque struct {
	Thread   string  `yaml:"thread"`
	FirstOn  float64 `yaml:"first_on"`  // largest
	FirstOff float64 `yaml:"first_off"` // least
	FifthOff float64 `yaml:"fifth_off"` // least
	Refs     Refs    `yaml:"ref"`
}

// WrenchClass is a class of torque wrenches.
type WrenchClass struct {
	Key     string  `yaml:"key"`
	Name    string  `yaml:"name"`
	Percent float64 `yaml:"percent"` // permitted deviation
	UpTo    float64 `yaml:"upto"`    // largest torque of such a wrench, N·m; 0: any
	Refs    Refs    `yaml:"ref"`
}

// ThreadSizes lists the threads.
func ThreadSizes() []ThreadSize { return slices.Clone(threadSizes()) }

// StrengthClasses lists the classes of bolts.
func StrengthClasses() []StrengthClass { return slices.Clone(strengthClasses()) }

// NutClasses lists the classes of nuts.
func NutClasses() []NutClass { return slices.Clone(nutClasses()) }

// BearingFaces lists heads by size.
func BearingFaces() []BearingFace { return slices.Clone(bearingFaces()) }

// FrictionRanges lists surfaces.
func FrictionRanges() []FrictionRange { return slices.Clone(frictionRanges()) }

// NutFactors lists published nut factors.
func NutFactors() []NutFactor { return slices.Clone(nutFactors()) }

// TighteningMethods lists ways of tightening.
func TighteningMethods() []TighteningMethod { return slices.Clone(tighteningMethods()) }

// ClampedMaterials lists what is clamped or tapped.
func ClampedMaterials() []ClampedMaterial { return slices.Clone(clampedMaterials()) }

// PrevailingTorques lists the running torques of lock nuts.
func PrevailingTorques() []PrevailingTorque { return slices.Clone(prevailingTorques()) }

// WrenchClasses lists the classes of torque wrenches.
func WrenchClasses() []WrenchClass { return slices.Clone(wrenchClasses()) }

var (
	threadSizes       = sync.OnceValue(func() []ThreadSize { return load("threads.yaml", checkThreads) })
	strengthClasses   = sync.OnceValue(func() []StrengthClass { return load("strength_classes.yaml", checkStrengths) })
	nutClasses        = sync.OnceValue(func() []NutClass { return load("nut_classes.yaml", checkNuts) })
	bearingFaces      = sync.OnceValue(func() []BearingFace { return load("bearing_faces.yaml", checkFaces) })
	frictionRanges    = sync.OnceValue(func() []FrictionRange { return load("friction.yaml", checkFriction) })
	nutFactors        = sync.OnceValue(func() []NutFactor { return load("nut_factors.yaml", checkNutFactors) })
	tighteningMethods = sync.OnceValue(func() []TighteningMethod { return load("tightening.yaml", checkMethods) })
	clampedMaterials  = sync.OnceValue(func() []ClampedMaterial { return load("clamped_materials.yaml", checkMaterials) })
	prevailingTorques = sync.OnceValue(func() []PrevailingTorque { return load("prevailing_torque.yaml", checkPrevailing) })
	wrenchClasses     = sync.OnceValue(func() []WrenchClass { return load("wrench_classes.yaml", checkWrenches) })
)

func checkThreads(list []ThreadSize) error {
	for _, s := range list {
		metric := s.System == "metric" && s.Coarse >= 0 && len(s.Fine) > 0 && s.UNC+s.UNF+s.UNS == 0
		unified := s.System == "unified" && s.UNC+s.UNF > 0 && s.Coarse == 0 && len(s.Fine) == 0
		if s.Diameter <= 0 || !metric && !unified {
			return fmt.Errorf("%s: expected a metric size with pitches or a unified one with threads an inch", s.Name)
		}
		for _, pitch := range append([]float64{s.Coarse}, s.Fine...) {
			if pitch < 0 || pitch > s.Diameter/2 {
				return fmt.Errorf("%s: pitch %g: expected less than half the diameter", s.Name, pitch)
			}
		}
	}
	return checkEntries(list, func(s ThreadSize) entry { return entry{s.Name, nil, s.Refs} })
}

func checkStrengths(list []StrengthClass) error {
	for _, c := range list {
		switch {
		case c.System != "metric" && c.System != "unified":
			return fmt.Errorf("%s: system %q: expected metric or unified", c.Class, c.System)
		case c.Unit != "" && c.Unit != "ksi":
			return fmt.Errorf("%s: unit %q: expected none or ksi", c.Class, c.Unit)
		case c.Yield <= 0 || c.Tensile <= c.Yield || c.Proof >= c.Yield || c.Proof < 0 || c.UpTo <= c.Over:
			return fmt.Errorf("%s: expected proof below yield below tensile, and a span of diameters", c.Class)
		}
	}
	return checkEntries(list, func(c StrengthClass) entry { return entry{fmt.Sprintf("%s above %g", c.Class, c.Over), nil, c.Refs} })
}

func checkNuts(list []NutClass) error {
	for _, n := range list {
		if n.Thin == (len(n.Carries) > 0) {
			return fmt.Errorf("%s: expected what it carries, or thin", n.Class)
		}
	}
	return checkEntries(list, func(n NutClass) entry { return entry{n.Class, nil, n.Refs} })
}

func checkFaces(list []BearingFace) error {
	for _, f := range list {
		if f.Diameter <= 0 || f.Hole < f.Diameter || f.Bearing <= f.Hole || f.SeatDeg < 0 || f.SeatDeg >= 180 || f.Unit != "" && f.Unit != "in" {
			return fmt.Errorf("%s %g: expected a hole not below the thread, a bearing face beyond it, mm or in", f.Kind, f.Diameter)
		}
	}
	return checkEntries(list, func(f BearingFace) entry {
		return entry{fmt.Sprintf("%s %s %g", f.Kind, f.System, f.Diameter), []string{f.Kind, f.System}, f.Refs}
	})
}

func checkFriction(list []FrictionRange) error {
	for _, f := range list {
		if f.Low < 0.04 || f.Likely < f.Low || f.High < f.Likely || f.High > 0.5 {
			return fmt.Errorf("%s: expected 0.04 <= low <= likely <= high <= 0.5", f.Key)
		}
	}
	return checkEntries(list, func(f FrictionRange) entry { return entry{f.Key, []string{f.Name}, f.Refs} })
}

func checkNutFactors(list []NutFactor) error {
	for _, n := range list {
		if n.Factor < 0.06 || n.Factor > 0.6 {
			return fmt.Errorf("%s: factor %g: expected 0.06 to 0.6", n.Key, n.Factor)
		}
	}
	return checkEntries(list, func(n NutFactor) entry { return entry{n.Key, []string{n.Name}, n.Refs} })
}

func checkMethods(list []TighteningMethod) error {
	for _, m := range list {
		if m.Low < 1 || m.Factor < m.Low || m.High < m.Factor {
			return fmt.Errorf("%s: expected 1 <= low <= factor <= high", m.Key)
		}
	}
	return checkEntries(list, func(m TighteningMethod) entry { return entry{m.Key, []string{m.Name}, m.Refs} })
}

func checkMaterials(list []ClampedMaterial) error {
	for _, m := range list {
		if m.ModulusGPa <= 0 || m.PressureMPa <= 0 || m.ShearMPa < 0 {
			return fmt.Errorf("%s: expected a modulus and a pressure above 0", m.Key)
		}
	}
	return checkEntries(list, func(m ClampedMaterial) entry { return entry{m.Key, []string{m.Name}, m.Refs} })
}

func checkPrevailing(list []PrevailingTorque) error {
	for _, p := range list {
		if p.FifthOff <= 0 || p.FirstOff <= p.FifthOff || p.FirstOn <= p.FirstOff {
			return fmt.Errorf("%s: expected 0 < fifth off < first off < first on", p.Thread)
		}
	}
	return checkEntries(list, func(p PrevailingTorque) entry { return entry{p.Thread, nil, p.Refs} })
}

func checkWrenches(list []WrenchClass) error {
	for _, w := range list {
		if w.Percent <= 0 || w.Percent > 20 || w.UpTo < 0 {
			return fmt.Errorf("%s: expected a deviation above 0, up to 20 %%", w.Key)
		}
	}
	return checkEntries(list, func(w WrenchClass) entry { return entry{w.Key, []string{w.Name}, w.Refs} })
}
