package joint

import (
	"math"
	"slices"
	"strings"
)

// Strength is what the class of a bolt says of it in this size.
type Strength struct {
	Class                          Class
	TensileMPa, YieldMPa, ProofMPa float64
	ProofKN, YieldKN, TensileKN    float64
	ProofAssumed                   bool // the class names none: a share of the yield
}

// proofOfYield stands in where a class names no proof stress.
//
// ref: SHIGLEY eq. 8-31
const proofOfYield = 0.85

// StrengthOf is the strength of a bolt by its class. The error is an
// [*InputError].
func (tb Tables) StrengthOf(t Thread) (Strength, error) {
	if t.Class == "" {
		example, mark := "-8.8", "4.6"
		if t.System == Unified {
			example, mark = " grade 5", "grade 2"
		}
		return Strength{}, wrong(InThread, "the mark on the head, as in "+t.Designation+example+"; a head without a mark counts as weak ("+mark+")", "%s says nothing of the strength of the bolt", t.Designation)
	}
	c, err := tb.class(t)
	if err != nil {
		return Strength{}, err
	}
	s := Strength{Class: c, TensileMPa: c.TensileMPa, YieldMPa: c.YieldMPa, ProofMPa: c.ProofMPa}
	if s.ProofMPa == 0 {
		s.ProofMPa, s.ProofAssumed = proofOfYield*s.YieldMPa, true
	}
	area := t.StressAreaMm2()
	s.ProofKN, s.YieldKN, s.TensileKN = area*s.ProofMPa/1000, area*s.YieldMPa/1000, area*s.TensileMPa/1000
	return s, nil
}

// class finds the row of a thread's class and size.
func (tb Tables) class(t Thread) (Class, error) {
	var known []string
	widest := 0.0
	for _, c := range tb.Classes {
		if c.System != t.System {
			continue
		}
		if !slices.Contains(known, c.Name) {
			known = append(known, c.Name)
		}
		if c.Name != t.Class {
			continue
		}
		if t.DiameterMm > c.OverMm && t.DiameterMm <= c.UpToMm+1e-9 {
			return c, nil
		}
		widest = math.Max(widest, c.UpToMm)
	}
	if widest > 0 {
		return Class{}, wrong(InThread, "a class that is made in this size", "%s: class %s is made up to %s", t.Designation, t.Class, tb.sizeName(t.System, widest))
	}
	return Class{}, wrong(InThread, "one of "+strings.Join(known, ", "), "%s: %s is no strength class of %s threads", t.Designation, t.Class, t.System)
}

// sizeName names a diameter of a system.
func (tb Tables) sizeName(system System, mm float64) string {
	s, ok := tb.size(system, func(s ThreadSize) bool { return math.Abs(s.DiameterMm-mm) < 0.02 })
	if !ok {
		return plain(mm) + " mm"
	}
	return s.Name
}

// checkNut holds a nut to its bolt: one that is weaker strips before the bolt
// gives, and nothing shows it.
func (tb Tables) checkNut(t Thread, given string) error {
	if given == "" {
		return nil
	}
	name := strings.ToLower(strings.TrimSpace(given))
	name = strings.TrimPrefix(name, "class ")
	if rest, ok := strings.CutPrefix(name, "grade"); ok {
		name = "grade " + strings.TrimSpace(rest)
	}
	var known, strong []string
	var found *Nut
	for i, n := range tb.Nuts {
		known = append(known, n.Name)
		if slices.Contains(n.Carries, t.Class) {
			strong = append(strong, n.Name)
		}
		if strings.EqualFold(n.Name, name) {
			found = &tb.Nuts[i]
		}
	}
	switch {
	case found == nil:
		return wrong(InNut, "one of "+strings.Join(known, ", "), "%q is no class of nuts", given)
	case found.Thin:
		return wrong(InNut, "a full nut: class "+strings.Join(strong, " or "), "a nut of class %s is a thin one: it locks another nut and does not carry the preload of a bolt of class %s", found.Name, t.Class)
	case !tb.sameFamily(*found, t):
		return wrong(InNut, "class "+strings.Join(strong, " or "), "a nut of class %s is not made for a bolt of class %s", found.Name, t.Class)
	case !slices.Contains(found.Carries, t.Class):
		return wrong(InNut, "class "+strings.Join(strong, " or "), "a nut of class %s is weaker than a bolt of class %s: its thread strips before the bolt gives", found.Name, t.Class)
	}
	return nil
}

// sameFamily reports whether a nut carries any bolts of the thread's system and
// kind of steel.
func (tb Tables) sameFamily(n Nut, t Thread) bool {
	own, err := tb.class(t)
	return err == nil && slices.ContainsFunc(tb.Classes, func(c Class) bool {
		return c.System == t.System && c.Stainless == own.Stainless && slices.Contains(n.Carries, c.Name)
	})
}
