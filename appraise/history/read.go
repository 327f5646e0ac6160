package history

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"wreckwright/working"
)

// Read reads a story. It fails with an [*InputError] where a part of the case
// cannot be, and with a plain error where the rules are not whole.
func Read(c Case, rules Rules) (Result, error) {
	if err := rules.Validate(); err != nil {
		return Result{}, err
	}
	if err := c.Validate(); err != nil {
		return Result{}, fmt.Errorf("history: %w", err)
	}
	s := &story{Case: c, rules: rules, outliers: map[int]bool{}}
	s.home, s.known = rules.place(c.Jurisdiction)
	if s.known {
		s.Jurisdiction = s.home.Key
	}
	for i := range c.Events {
		s.order = append(s.order, i)
	}
	slices.SortStableFunc(s.order, func(a, b int) int { return c.Events[a].Date.Compare(c.Events[b].Date) })
	return s.read(), nil
}

func (s *story) read() Result {
	if !s.known {
		s.find("jurisdiction-unknown", nil)
	}
	marks := s.marks()
	s.judgeMarks(marks)
	s.readOdometer()
	s.judgePapers(marks)
	due := s.inspected()
	s.sortFindings()
	r := Result{
		Jurisdiction: s.Jurisdiction, PlaceName: s.placeName(), Authority: s.authority(), Unit: s.Vehicle.DistanceUnit,
		Findings: s.findings, Disclaim: disclaimer, MustDo: []Advice{}, MustDisclose: []Advice{},
	}
	r.MayReturn, r.Why = s.mayReturn(marks)
	s.advise(&r, marks, due)
	for _, f := range r.Findings {
		switch f.Severity {
		case Stop:
			r.Stops++
		case Question:
			r.Questions++
		}
	}
	if r.Findings == nil {
		r.Findings = []Finding{}
	}
	r.Timeline = s.timeline()
	r.Working = s.explain(marks, r)
	return r
}

// mayReturn is the hardest answer of the marks that are not lifted, and why.
func (s *story) mayReturn(marks []mark) (answer, why string) {
	answer, why = s.home.Unmarked, "no salvage mark was typed in; that proves none"
	if !s.known {
		answer, why = Unknown, "the rules of "+s.Jurisdiction+" are not known here: ask "+s.authority()
	}
	for _, m := range marks {
		verdict, reason := s.verdict(m)
		if verdict == "" {
			continue
		}
		harder := cmp.Compare(slices.Index(hardness, verdict), slices.Index(hardness, answer))
		// The first mark speaks even where it changes nothing.
		if harder > 0 || harder == 0 && strings.HasPrefix(why, "no salvage mark") {
			answer, why = verdict, reason
		}
	}
	return answer, why
}

// verdict is what one mark says; "" where it was lifted.
func (s *story) verdict(m mark) (verdict, why string) {
	name := m.code(s) + " of " + s.on(m.event)
	switch {
	case m.lifted:
		return "", ""
	case m.final:
		return No, name + ": final, it may not come back"
	case !s.known || !m.known:
		return Unknown, name + ": what it means is not known here: ask " + s.authority()
	case m.foreign && !strings.EqualFold(m.category.Jurisdiction, s.Jurisdiction):
		return Unknown, name + ", given in " + cmpText(m.place, "another country") + ": how " + s.home.Name + " takes it must be asked of " + s.authority()
	}
	return m.category.Road, name + ": " + m.category.First
}

// advise fills what must be done before the road and told on a sale.
func (s *story) advise(r *Result, marks []mark, due string) {
	when := s.occasions(marks, r)
	do := func(text, source string) { r.MustDo = addAdvice(r.MustDo, text, source) }
	tell := func(text, source string) { r.MustDisclose = addAdvice(r.MustDisclose, text, source) }
	for i, m := range marks {
		if !m.known {
			continue
		}
		milder := slices.ContainsFunc(marks[:i], m.softer) // the harder one's way back holds
		if !m.lifted && (m.final || r.MayReturn != No && !milder) {
			do(m.category.First+m.category.said(s.authority()), m.category.Source)
		}
		tell(m.category.Code+" of "+s.on(m.event)+": "+m.category.Tell+m.category.said(s.authority()), m.category.Source)
	}
	for _, d := range s.home.Duties {
		switch {
		case !when[d.When], !d.Tell && r.MayReturn == No:
		case d.Tell:
			tell(d.Text+d.said(s.authority()), d.Source)
		default:
			do(d.Text+d.said(s.authority()), d.Source)
		}
	}
	if due != "" && r.MayReturn != No {
		do(due+s.home.said(s.authority()), s.home.Source)
	}
	if r.MayReturn == Unknown {
		do("Ask "+s.authority()+" in writing, before any money is paid, whether and how this car may return to the road.", "DESIGN_HISTORY")
	}
	if when["odometer"] {
		tell("That the distance it has run is not certain, and why.", "DESIGN_HISTORY")
	}
	for _, m := range marks {
		if !m.known {
			tell("The mark of "+s.on(m.event)+" ("+m.code(s)+"), in the words of the papers.", "DESIGN_HISTORY")
		}
	}
}

// addAdvice adds a text once.
func addAdvice(list []Advice, text, source string) []Advice {
	if slices.ContainsFunc(list, func(a Advice) bool { return a.Text == text }) {
		return list
	}
	return append(list, Advice{text, source})
}

// occasions are those of a place's duties that apply.
func (s *story) occasions(marks []mark, r *Result) map[string]bool {
	when := map[string]bool{"always": true, "marked": len(marks) > 0, "import": len(s.of(Import)) > 0}
	for _, m := range marks {
		when["foreign mark"] = when["foreign mark"] || m.foreign
	}
	for _, f := range r.Findings {
		if slices.Contains([]string{"odometer-falls", "unit-switch", "odometer-rollover", "pace-implausible"}, f.Rule) {
			when["odometer"] = true
		}
	}
	year := s.Vehicle.ModelYear
	if year == 0 {
		year = s.Vehicle.FirstUsed.Year()
	}
	when["mileage"] = s.home.mileageStated(year, s.Today.Year())
	return when
}

// mileageStated tells whether the mileage of a car of that model year must be
// stated on a sale: 2011 and later for 20 years, say.
//
// ref: CFR_49_580 580.17
func (p Place) mileageStated(modelYear, saleYear int) bool {
	return p.MileageFrom > 0 && modelYear >= p.MileageFrom && saleYear < modelYear+p.MileageYears
}

// explain adds to the paces what decides.
func (s *story) explain(marks []mark, r Result) (w working.Working) {
	w = append(w, s.w...)
	for _, m := range marks {
		verdict, why := s.verdict(m)
		if verdict == "" {
			verdict, why = "lifted", "a later mark of the same place takes it away"
		}
		w = append(w, working.Step{What: m.code(s) + " of " + s.on(m.event) + ": " + verdict, Formula: why, Value: float64(slices.Index(hardness, verdict)), Unit: "", Source: cmpText(m.category.Source, "DESIGN_HISTORY")})
	}
	return append(w, working.Step{
		What: "may it return to the road: " + r.MayReturn, Formula: "the hardest of the marks that are not lifted (0 yes, 1 after inspection, 2 unknown, 3 no)",
		Value: float64(slices.Index(hardness, r.MayReturn)), Source: "DESIGN_HISTORY",
	})
}
