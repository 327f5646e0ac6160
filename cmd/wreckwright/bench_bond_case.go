package main

import (
	"wreckwright/bench/bond"
	"wreckwright/casefile"
	"wreckwright/uncertain"
)

// bondFile reads a case file of a bond and keeps where each value stands, for
// mistakes that the engine finds.
type bondFile struct{ places map[string]casefile.Value }

func (f bondFile) readCase(root *casefile.Mapping) bond.Case {
	c := bond.Case{Layout: bond.Single}
	c.Holds = f.keep("holds", root.Need("holds")).Text()
	c.SafetyCritical = root.Need("safety_critical").Bool()
	if v, ok := root.May("layout"); ok {
		c.Layout = bond.Layout(v.Choice(string(bond.Single), string(bond.Double)))
	}
	for key, to := range map[string]*float64{"load_n": &c.LoadN, "width_mm": &c.WidthMm, "overlap_mm": &c.OverlapMm, "bond_mm": &c.BondMm, "hottest_c": &c.HottestC} {
		*to = f.number("", key, root.Need(key))
	}
	c.ColdestC, c.StressFreeC = f.optional("", "coldest_c", root), f.optional("", "stress_free_c", root)
	if x := f.optional("", "factor", root); x != nil {
		c.Factor = *x
	}
	c.Preparation = f.keep("preparation", root.Need("preparation")).Text()
	c.Service = f.keep("service", root.Need("service")).Text()
	f.readAdherends(root.Need("adherends"), &c)
	adhesive := root.Need("adhesive").Mapping()
	c.Adhesive = bond.Adhesive{
		Kind:     f.keep("adhesive.kind", adhesive.Need("kind")).Text(),
		ShearMPa: f.number("adhesive.", "shear_strength_mpa", adhesive.Need("shear_strength_mpa")),
		ShearGPa: f.number("adhesive.", "shear_modulus_mpa", adhesive.Need("shear_modulus_mpa")) / 1000,
	}
	if v, ok := root.May("cure"); ok {
		c.Cure = f.readCure(v.Mapping())
	}
	return c
}

// readAdherends reads one part, which stands for both, or two.
func (f bondFile) readAdherends(v casefile.Value, c *bond.Case) {
	f.keep("adherends", v)
	list := v.List()
	if len(list) != 1 && len(list) != 2 {
		v.Fail("lists "+countOf(len(list), "part"), "one part for both, or the first (outer) and the second (inner)")
		return
	}
	read := func(i int, where string) bond.Adherend {
		m := list[i].Mapping()
		return bond.Adherend{
			ModulusGPa:    f.number(where, "modulus_gpa", m.Need("modulus_gpa")),
			ThicknessMm:   f.number(where, "thickness_mm", m.Need("thickness_mm")),
			ExpansionPerK: f.optional(where, "expansion_per_k", m),
		}
	}
	c.First = read(0, "adherends[0].")
	c.Second = c.First
	if len(list) == 2 {
		c.Second = read(1, "adherends[1].")
	}
}

func (f bondFile) readCure(m *casefile.Mapping) *bond.Cure {
	u := &bond.Cure{
		SheetHours: f.number("cure.", "sheet_hours", m.Need("sheet_hours")),
		SheetC:     f.number("cure.", "sheet_c", m.Need("sheet_c")),
		WorkshopC:  f.number("cure.", "workshop_c", m.Need("workshop_c")),
		LeastC:     f.optional("cure.", "least_c", m),
		MostC:      f.optional("cure.", "most_c", m),
	}
	if x := f.optional("cure.", "energy_kj_mol", m); x != nil {
		u.EnergyKJMol = *x
	}
	return u
}

func (f bondFile) keep(where string, v casefile.Value) casefile.Value {
	f.places[where] = v
	return v
}

// number reads a number within its bound.
func (f bondFile) number(in, key string, v casefile.Value) float64 {
	f.keep(in+key, v)
	bound := bond.BoundOf(key)
	x := v.Number(uncertain.Bounds{Min: -1e12, Max: 1e12})
	if problem := bound.Problem(x); problem != "" {
		v.Fail(problem, bound.String())
	}
	return x
}

func (f bondFile) optional(in, key string, m *casefile.Mapping) *float64 {
	v, ok := m.May(key)
	if !ok {
		return nil
	}
	return new(f.number(in, key, v))
}
