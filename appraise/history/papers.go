package history

import (
	"fmt"
	"slices"
)

// of are the events of some kinds, by date.
func (s *story) of(kinds ...string) (list []int) {
	for _, i := range s.order {
		if slices.Contains(kinds, s.Events[i].Kind) {
			list = append(list, i)
		}
	}
	return list
}

// judgePapers finds what plates, keepers, borders, theft and finance show.
func (s *story) judgePapers(marks []mark) {
	s.plates(marks)
	s.soonInspected(marks)
	s.keepers(marks)
	s.exported()
	s.theft()
	s.finance()
	if year := s.Vehicle.ModelYear; year > 0 {
		late := float64(s.Vehicle.FirstUsed.Year() - year)
		if late < s.limit("model-year", "below") || late > s.limit("model-year", "above") {
			s.find("model-year", nil, "year", fmt.Sprint(year), "date", day(s.Vehicle.FirstUsed))
		}
	}
}

// plates finds a change of plates near a write-off: histories that are kept by
// plate break there.
func (s *story) plates(marks []mark) {
	for _, p := range s.of(PlateChange) {
		for _, m := range marks {
			if !s.writtenOff(m) {
				continue
			}
			apart := days(s.Events[m.event].Date, s.Events[p].Date)
			if apart >= -s.limit("plate-change-near-write-off", "before_days") && apart <= s.limit("plate-change-near-write-off", "after_days") {
				when := fmt.Sprintf("%.0f days after", apart)
				if apart < 0 {
					when = fmt.Sprintf("%.0f days before", -apart)
				}
				s.find("plate-change-near-write-off", []int{m.event, p}, "date", day(s.Events[p].Date), "earlier", day(s.Events[m.event].Date), "when", when)
			}
		}
	}
}

// writtenOff tells whether a mark is a write-off of a known day.
func (s *story) writtenOff(m mark) bool {
	e := s.Events[m.event]
	return e.Kind == WriteOff && !e.Undated
}

// soonInspected finds a pass so soon after structural damage that nobody can
// have repaired it, with no repair on record between.
func (s *story) soonInspected(marks []mark) {
	for _, m := range marks {
		if !m.known || m.final || !m.category.Structural || s.Events[m.event].Undated {
			continue
		}
		from := s.Events[m.event].Date
		for _, i := range s.of(Inspection, Repair) {
			apart := days(from, s.Events[i].Date)
			if apart < 0 {
				continue
			}
			if s.Events[i].Kind == Inspection && s.Events[i].Result == Pass && apart <= s.limit("inspection-soon-after-damage", "days") {
				s.find("inspection-soon-after-damage", []int{m.event, i}, "date", day(s.Events[i].Date), "earlier", day(from), "days", number(apart), "category", m.category.Code)
			}
			break
		}
	}
}

// keepers finds many keepers in a short time.
func (s *story) keepers(marks []mark) {
	changes := s.of(KeeperChange)
	if run := s.within(changes, s.limit("keepers-in-a-row", "days"), int(s.limit("keepers-in-a-row", "count"))); run != nil {
		s.find("keepers-in-a-row", run, "count", fmt.Sprint(len(run)), "earlier", day(s.Events[run[0]].Date), "date", day(s.Events[run[len(run)-1]].Date))
	}
	for _, m := range marks {
		if !s.writtenOff(m) {
			continue
		}
		var soon []int
		for _, i := range changes {
			if apart := days(s.Events[m.event].Date, s.Events[i].Date); apart >= 0 && apart <= s.limit("keepers-after-write-off", "days") {
				soon = append(soon, i)
			}
		}
		if len(soon) >= int(s.limit("keepers-after-write-off", "count")) {
			s.find("keepers-after-write-off", append([]int{m.event}, soon...), "count", fmt.Sprint(len(soon)), "earlier", day(s.Events[m.event].Date))
		}
	}
}

// within is the longest run of at least count events that lie within a number of
// days; nil where there is none.
func (s *story) within(events []int, span float64, count int) (longest []int) {
	for from := range events {
		to := from
		for to < len(events) && days(s.Events[events[from]].Date, s.Events[events[to]].Date) <= span {
			to++
		}
		if to-from >= count && to-from > len(longest) {
			longest = events[from:to]
		}
	}
	return longest
}

// exported finds a car that left and was then used at home without coming back.
func (s *story) exported() {
	away := -1
	for _, i := range s.order {
		switch e := s.Events[i]; {
		case e.Kind == Export:
			away = i
		case e.Kind == Import:
			away = -1
		case away >= 0 && e.Jurisdiction == "" && slices.Contains([]string{Inspection, KeeperChange, Registration, PlateChange}, e.Kind):
			s.find("used-after-export", []int{away, i}, "earlier", day(s.Events[away].Date), "date", day(e.Date), "kind", e.Kind)
			away = -1
		}
	}
}

// theft finds a car that was stolen and not found, and one that was found.
func (s *story) theft() {
	open := -1
	for _, i := range s.of(Stolen, Recovered) {
		e := s.Events[i]
		switch {
		case e.Kind == Stolen:
			open = i
		case open < 0:
			s.find("recovered-without-theft", []int{i}, "date", day(e.Date))
		default:
			s.find("recovered", []int{open, i}, "earlier", day(s.Events[open].Date), "date", day(e.Date))
			open = -1
		}
	}
	if open >= 0 {
		s.find("stolen", []int{open}, "date", day(s.Events[open].Date))
	}
}

// finance finds money that is still owed on the car. One settlement settles the
// oldest that is open.
func (s *story) finance() {
	var open []int
	for _, i := range s.of(Finance, FinanceSettled) {
		switch {
		case s.Events[i].Kind == Finance:
			open = append(open, i)
		case len(open) == 0:
			s.find("settled-without-finance", []int{i}, "date", day(s.Events[i].Date))
		default:
			open = open[1:]
		}
	}
	for _, i := range open {
		if f := s.find("finance-open", []int{i}, "date", day(s.Events[i].Date)); s.Private {
			f.Severity = Question
		}
	}
}
