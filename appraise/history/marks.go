package history

import (
	"slices"
	"strings"
)

// mark is an event that leaves a salvage mark, with what is known of it.
type mark struct {
	event    int
	place    string // where it was given
	foreign  bool   // not where the car is to be used
	category Category
	known    bool
	final    bool // the car may not come back
	lifted   bool // by a later mark
}

// placeOf is where an event happened: as said, else where the next import came
// from, else at home.
func (s *story) placeOf(event int) string {
	if j := s.Events[event].Jurisdiction; j != "" {
		return j
	}
	if s.Events[event].Kind == Import {
		return s.Jurisdiction
	}
	at := slices.Index(s.order, event)
	for _, later := range s.order[at+1:] {
		if s.Events[later].Kind == Import {
			return s.Events[later].From
		}
	}
	return s.Jurisdiction
}

// marks are the marks by date. One that a later mark of its place lifts is said
// to be lifted, unless it is final.
func (s *story) marks() []mark {
	var list []mark
	for _, i := range s.order {
		e := s.Events[i]
		if e.Kind != WriteOff && e.Kind != Scrapped && e.Kind != Destroyed && e.Category == "" {
			continue
		}
		m := s.markOf(i)
		for k := range list {
			if !list[k].final && m.known && slices.ContainsFunc(m.category.Lifts, func(code string) bool { return plainCode(code) == plainCode(list[k].category.Code) }) {
				list[k].lifted = true
			}
		}
		list = append(list, m)
	}
	return list
}

func (s *story) markOf(event int) mark {
	e := s.Events[event]
	m := mark{event: event, place: s.placeOf(event)}
	if e.Kind == Import && e.Category != "" && e.From != "" {
		m.place = e.From // the mark that it brought along
	}
	m.foreign = !strings.EqualFold(m.place, s.Jurisdiction)
	m.final = e.Kind == Scrapped || e.Kind == Destroyed
	if m.final {
		return m
	}
	m.category, m.known = s.rules.category(m.place, e.Category)
	if m.foreign {
		m.category, m.known = s.foreignCategory(m, e.Category)
	}
	m.final = m.known && m.category.Road == No
	return m
}

// foreignCategory is what a mark of another place counts as at home: by name
// where the home place says so, else the home place's own category of that name,
// else the one of where it was given. A name alone does not make a mark of a place
// without known rules a harmless one.
func (s *story) foreignCategory(m mark, code string) (Category, bool) {
	if m.known && m.category.Road == No {
		return m.category, true
	}
	for from, as := range s.home.ForeignAs {
		if plainCode(from) == plainCode(code) {
			return s.rules.category(s.home.Key, as)
		}
	}
	_, ruled := s.rules.place(m.place)
	if c, ok := s.rules.category(s.Jurisdiction, code); ok && code != "" && (ruled || m.place == "" || c.Road != Yes) {
		return c, true
	}
	return m.category, m.known
}

// judgeMarks finds what the marks show.
func (s *story) judgeMarks(marks []mark) {
	for i, m := range marks {
		s.judgeMark(m)
		if m.foreign {
			s.judgeForeign(m)
		}
		s.compareMarks(marks[:i], m)
		if m.final {
			s.usedAfter(m)
		}
	}
}

func (s *story) judgeMark(m mark) {
	e, at := s.Events[m.event], []int{m.event}
	values := []string{
		"date", s.on(m.event), "category", cmpText(m.category.Code, e.Category), "given_in", cmpText(m.place, "another country"),
		"name", m.category.Name, "meaning", m.category.Meaning, "kind", e.Kind,
	}
	switch {
	case m.final && !m.known:
		s.find("final-mark", at, append(values, "mark", e.Kind)...)
	case m.final:
		f := s.find("final-mark", at, append(values, "mark", "category "+m.category.Code+" ("+m.category.Name+")")...)
		f.Source, f.AsAt = m.category.Source, m.category.AsAt
		f.Text += " " + m.category.Meaning + m.category.said(s.authority())
	case !m.known && e.Category == "":
		s.find("category-missing", at, values...)
	case !m.known:
		s.find("category-unknown", at, values...)
	case !m.foreign || strings.EqualFold(m.category.Jurisdiction, s.Jurisdiction):
		f := s.find("mark", at, values...)
		f.Source, f.AsAt = m.category.Source, m.category.AsAt
		f.Text += m.category.said(s.authority())
		if !m.category.Structural && m.category.Road == Yes {
			f.Severity = Note
		}
	}
	if m.known && !e.Undated && (m.category.From != "" && day(e.Date) < m.category.From || m.category.Until != "" && day(e.Date) > m.category.Until) {
		s.find("category-outside-dates", at, append(values, "from", cmpText(m.category.From, "the beginning"), "until", cmpText(m.category.Until, "now"))...)
	}
}

// judgeForeign finds a mark of another place: home papers may not carry it.
func (s *story) judgeForeign(m mark) {
	e := s.Events[m.event]
	f := s.find("brand-not-carried-over", []int{m.event}, "date", s.on(m.event), "category", cmpText(m.category.Code, e.Category, e.Kind), "given_in", cmpText(m.place, "another country"))
	if m.final {
		f.Severity = Stop
	}
}

// compareMarks finds a mark that comes on top of an earlier one, or is softer.
func (s *story) compareMarks(earlier []mark, m mark) {
	for _, before := range slices.Backward(earlier) {
		e, at := s.Events[m.event], []int{before.event, m.event}
		values := []string{"earlier", s.on(before.event), "date", s.on(m.event), "was", before.code(s), "category", m.code(s)}
		switch {
		case m.softer(before):
			s.find("category-softened", at, values...)
		case e.Kind != WriteOff || s.Events[before.event].Kind != WriteOff || len(m.category.Lifts) > 0:
			continue
		default:
			s.find("written-off-again", at, values...)
		}
		return
	}
}

func (m mark) code(s *story) string {
	return cmpText(m.category.Code, s.Events[m.event].Category, s.Events[m.event].Kind)
}

// softer tells whether m is milder than an earlier mark that it does not lift. A
// final mark is harder than all.
func (m mark) softer(before mark) bool {
	if before.lifted || m.final && !before.final {
		return false
	}
	if before.final && !m.final {
		return true
	}
	a, b := before.category, m.category
	return before.known && m.known && strings.EqualFold(a.Jurisdiction, b.Jurisdiction) && b.Rank > 0 && a.Rank > b.Rank
}

// uses are the events that contradict a mark that is final. A reading is none: it
// is taken at a viewing too.
var uses = []string{Registration, Inspection, Service, KeeperChange, Import}

// usedAfter finds events after a final mark that a dead car cannot have.
func (s *story) usedAfter(m mark) {
	var later []int
	for _, i := range s.order {
		if s.Events[i].Date.After(s.Events[m.event].Date) && slices.Contains(uses, s.Events[i].Kind) {
			later = append(later, i)
		}
	}
	if len(later) == 0 {
		return
	}
	first := s.Events[later[0]]
	s.find("use-after-final", append([]int{m.event}, later...), "earlier", day(s.Events[m.event].Date), "was", m.code(s), "date", day(first.Date), "kind", first.Kind)
}

// cmpText is the first text that is not empty.
func cmpText(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}
