package web

import (
	"errors"
	"net/http"
	"strings"

	"wreckwright/bench/bond"
	"wreckwright/knowledge"
	"wreckwright/workshop"
)

// bondPage is the calculator of bonded laps: a strap, a patch, a splint. Nothing is
// kept, and what lives hang on is refused.
type bondPage struct {
	Frame
	Form         *Form
	Layouts      []Option
	Preparations []Option
	Services     []Option
	Adhesives    []Option
	Materials    []Option
	Said         *bond.Result
	Refused      string // why it is not reckoned at all
	Cautions     []knowledge.Caution
}

func (s *Server) bondShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Bonded joint", "bench", rb)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	page := newBondPage(frame, f)
	status := http.StatusOK
	if f.Value("reckon") != "" {
		if page.reckon(); len(f.Problems) > 0 {
			status = http.StatusUnprocessableEntity
		}
	}
	return s.show(w, status, "bench_bond", page)
}

func newBondPage(frame Frame, f *Form) bondPage {
	tables := workshop.BondTables()
	p := bondPage{
		Frame: frame, Form: f, Preparations: knockOptions(tables.Preparations), Services: knockOptions(tables.Services),
		Layouts:   []Option{{"single", "Strap or patch on one side"}, {"double", "Splint on both sides"}},
		Materials: []Option{{"", "By its modulus"}},
	}
	for _, a := range tables.Adhesives {
		p.Adhesives = append(p.Adhesives, Option{a.Key, capital(a.Name)})
	}
	for _, m := range knowledge.ClampedMaterials() {
		p.Materials = append(p.Materials, Option{m.Key, capital(m.Name)})
	}
	return p
}

func knockOptions(list []bond.Knock) []Option {
	options := make([]Option, len(list))
	for i, k := range list {
		options[i] = Option{k.Key, capital(k.Name)}
	}
	return options
}

// reckon asks the engine.
func (p *bondPage) reckon() {
	f := p.Form
	c := f.readBond()
	if len(f.Problems) > 0 {
		return
	}
	r, err := bond.Examine(c, workshop.BondTables())
	var refusal *bond.Refusal
	var mistake *bond.InputError
	switch {
	case errors.As(err, &refusal):
		p.Refused = capital(strings.TrimPrefix(refusal.Error(), "refused: "))
	case errors.As(err, &mistake):
		f.problem(bondField(mistake.Where), "%s: %s", bondWords(mistake.Where), withExpected(mistake))
	case err != nil:
		f.problem("holds", "%v", err)
	default:
		p.Said = &r
		for _, hazard := range r.Hazards {
			if caution, ok := knowledge.CautionFor(hazard); ok {
				p.Cautions = append(p.Cautions, caution)
			}
		}
	}
}

func withExpected(e *bond.InputError) string {
	if e.Expected == "" {
		return e.Problem
	}
	return e.Problem + "; expected " + e.Expected
}

// bondField is the field of the form for a place in a case: "first.modulus_gpa" for
// "adherends[0].modulus_gpa".
func bondField(where string) string {
	where = strings.NewReplacer("adherends[0].", "first.", "adherends[1].", "second.", "cure.", "", "adhesive.", "").Replace(where)
	if where == "adherends" {
		return "first.expansion"
	}
	return strings.TrimSuffix(where, "_per_k")
}

// bondLabels name the places of a case as the form does.
var bondLabels = map[string]string{
	"holds": "what it holds", "layout": "where the laps are", "load_n": "the load", "width_mm": "the width", "overlap_mm": "the overlap",
	"bond_mm": "the thickness of the adhesive", "first.modulus_gpa": "the first part's modulus", "first.thickness_mm": "the first part's thickness",
	"second.modulus_gpa": "the second part's modulus", "second.thickness_mm": "the second part's thickness", "first.expansion": "the first part's expansion",
	"second.expansion": "the second part's expansion", "shear_strength_mpa": "the lap shear strength", "shear_modulus_mpa": "the shear modulus",
	"kind": "the adhesive", "hottest_c": "the hottest", "coldest_c": "the coldest", "stress_free_c": "the temperature at which it set", "factor": "the factor of safety",
	"sheet_hours": "the hours of the sheet", "sheet_c": "the sheet's temperature", "least_c": "the sheet's least temperature", "workshop_c": "the workshop's temperature",
}

func bondWords(where string) string {
	if words, ok := bondLabels[bondField(where)]; ok {
		return words
	}
	return strings.ReplaceAll(where, "_", " ")
}

// readBond reads what the engine is asked.
func (f *Form) readBond() bond.Case {
	c := bond.Case{
		Holds: f.Value("holds"), SafetyCritical: f.Has("safety_critical", "1"), Layout: bond.Layout(f.Value("layout")),
		LoadN: f.number("load_n", "the load"), WidthMm: f.number("width_mm", "the width"), OverlapMm: f.number("overlap_mm", "the overlap"), BondMm: f.number("bond_mm", "the thickness of the adhesive"),
		First: f.readAdherend("first"), Second: f.readAdherend("second"),
		Adhesive:    bond.Adhesive{Kind: f.Value("kind"), ShearMPa: f.number("shear_strength_mpa", "the lap shear strength"), ShearGPa: f.number("shear_modulus_mpa", "the shear modulus") / 1000},
		Preparation: f.Value("preparation"), Service: f.Value("service"),
		ColdestC: f.optional("coldest_c", "the coldest"), StressFreeC: f.optional("stress_free_c", "the temperature at which it set"), Factor: f.number("factor", "the factor of safety"),
	}
	if hottest := f.optional("hottest_c", "the hottest"); hottest != nil {
		c.HottestC = *hottest
	} else {
		f.problem("hottest_c", "say how hot it gets: adhesives lose much of their strength in the sun or beside an engine")
	}
	if f.Value("sheet_hours") != "" {
		c.Cure = &bond.Cure{SheetHours: f.number("sheet_hours", "the hours of the sheet"), SheetC: f.number("sheet_c", "the sheet's temperature"), WorkshopC: f.number("workshop_c", "the workshop's temperature"), LeastC: f.optional("least_c", "the sheet's least temperature")}
	}
	return c
}

// readAdherend reads one of the parts: its modulus by its material, or as given.
func (f *Form) readAdherend(part string) bond.Adherend {
	a := bond.Adherend{ModulusGPa: f.number(part+".modulus_gpa", "the modulus"), ThicknessMm: f.number(part+".thickness_mm", "the thickness")}
	if a.ModulusGPa == 0 {
		for _, m := range knowledge.ClampedMaterials() {
			if m.Key == f.Value(part+".material") {
				a.ModulusGPa = m.ModulusGPa
			}
		}
	}
	if e := f.optional(part+".expansion", "the expansion"); e != nil {
		perKelvin := *e * 1e-6
		a.ExpansionPerK = &perKelvin
	}
	return a
}
