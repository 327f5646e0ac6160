package history

import (
	"fmt"
	"time"
)

// inspected finds years without an inspection, and gives what must be done where
// the next one is due.
func (s *story) inspected() (due string) {
	test := s.home.Test
	if test.EveryYears == 0 {
		s.silence()
		return ""
	}
	from := s.Vehicle.FirstUsed
	next := later(from, test.FirstYears)
	grace := s.limit("inspection-gap", "grace_days")
	passed := false
	for _, i := range s.of(Inspection, Import) {
		e := s.Events[i]
		if days(next, e.Date) > grace && e.Kind == Inspection {
			s.find("inspection-gap", []int{i}, "earlier", day(from), "date", day(e.Date), "test", test.Name, "due", day(next))
		}
		if e.Kind == Inspection && e.Result != Fail {
			from, next, passed = e.Date, later(e.Date, s.every(e.Date)), true
		}
	}
	for _, on := range s.Passed {
		if !on.After(s.Today) && (!passed || on.After(from)) {
			from, next, passed = on, later(on, s.every(on)), true
		}
	}
	switch {
	case s.Today.Before(next):
		return ""
	case passed:
		return fmt.Sprintf("The %s must be passed before it is used: the last one on record is of %s and was due again on %s.", test.Name, day(from), day(next))
	}
	return fmt.Sprintf("The %s must be passed before it is used: none that was passed is on record, and one was due from %s on.", test.Name, day(next))
}

// every is the years from an inspection to the next.
func (s *story) every(passed time.Time) float64 {
	test := s.home.Test
	if test.YearlyFrom > 0 && !passed.Before(later(s.Vehicle.FirstUsed, test.YearlyFrom)) {
		return 1
	}
	return test.EveryYears
}

func later(t time.Time, years float64) time.Time { return t.AddDate(0, int(years*12), 0) }

// silence finds years of which nothing is known, where no inspection would have
// told.
func (s *story) silence() {
	from, before := s.Vehicle.FirstUsed, []int(nil)
	longest := s.limit("record-gap", "years") * daysAYear
	look := func(to time.Time, events []int) {
		if days(from, to) > longest {
			s.find("record-gap", events, "earlier", day(from), "date", day(to), "years", fmt.Sprintf("%.1f", days(from, to)/daysAYear))
		}
	}
	for _, i := range s.order {
		look(s.Events[i].Date, append(before, i))
		from, before = s.Events[i].Date, []int{i}
	}
	look(s.Today, before)
}
