package history

import (
	"cmp"
	"fmt"
	"slices"
)

// kmPerMile is the international mile.
//
// ref: YARD_1959 mile
const kmPerMile = 1.609344

// reading is an odometer reading in the vehicle's unit.
type reading struct {
	event int
	value float64
}

// inUnit is an event's reading in the vehicle's unit.
func (s *story) inUnit(e Event) float64 {
	v := *e.Odometer
	switch {
	case e.Unit == "" || e.Unit == s.Vehicle.DistanceUnit:
		return v
	case e.Unit == Miles:
		return v * kmPerMile
	}
	return v / kmPerMile
}

// readings are those of the story by date; of one day the lower comes first,
// because nobody knows in which order they were taken.
func (s *story) readings() []reading {
	var list []reading
	for _, i := range s.order {
		if e := s.Events[i]; e.Odometer != nil {
			list = append(list, reading{i, s.inUnit(e)})
		}
	}
	slices.SortStableFunc(list, func(a, b reading) int {
		if c := s.Events[a.event].Date.Compare(s.Events[b.event].Date); c != 0 {
			return c
		}
		return cmp.Compare(a.value, b.value)
	})
	return list
}

// readOdometer compares the readings with one another.
//
// ref: DESIGN_HISTORY thresholds
func (s *story) readOdometer() {
	list := s.setAside(s.readings())
	if len(list) == 0 {
		s.find("no-readings", nil)
		return
	}
	for i := 1; i < len(list); i++ {
		s.compare(list[i-1], list[i])
	}
	s.wholeDistance(list[len(list)-1])
}

// slack is what two readings may differ by without meaning.
func (s *story) slack(v float64) float64 {
	return max(s.limit("odometer-falls", "tolerance"), s.limit("odometer-falls", "tolerance_share")*v)
}

// setAside takes out single readings that are out of line with both neighbours,
// which are in line with one another: typing slips, or one reading in another
// unit.
func (s *story) setAside(list []reading) []reading {
	for i := 1; i+1 < len(list); i++ {
		a, b, c := list[i-1], list[i], list[i+1]
		slack := s.slack(a.value)
		below, above := b.value < a.value-slack, b.value > c.value+s.slack(c.value)
		if c.value < a.value-slack || !below && !above {
			continue
		}
		key := "odometer-slip"
		if s.unitRatio(b.value, s.between(a, b, c)) {
			key = "unit-switch"
		}
		s.find(key, []int{b.event}, s.pairOf(a, b)...)
		s.outliers[b.event] = true
		list = slices.Delete(list, i, i+1)
		i--
	}
	return list
}

// between is what b should read by the readings before and after it.
func (s *story) between(a, b, c reading) float64 {
	whole := days(s.Events[a.event].Date, s.Events[c.event].Date)
	if whole == 0 {
		return a.value
	}
	return a.value + (c.value-a.value)*days(s.Events[a.event].Date, s.Events[b.event].Date)/whole
}

// unitRatio tells whether two readings differ by the ratio of mile and
// kilometre, either way.
func (s *story) unitRatio(a, b float64) bool {
	if a <= 0 || b <= 0 {
		return false
	}
	low, high := s.limit("unit-switch", "low"), s.limit("unit-switch", "high")
	ratio := min(a/b, b/a)
	return low <= ratio && ratio <= high
}

// pairOf are the values for a text about two readings.
func (s *story) pairOf(a, b reading) []string {
	return []string{
		"earlier", day(s.Events[a.event].Date), "before", number(a.value),
		"date", day(s.Events[b.event].Date), "reading", number(b.value),
		"fall", number(a.value - b.value), "unit", s.Vehicle.DistanceUnit,
	}
}

// compare looks at two readings that follow one another.
func (s *story) compare(a, b reading) {
	apart := days(s.Events[a.event].Date, s.Events[b.event].Date)
	pace := 0.0
	if apart > 0 {
		pace = (b.value - a.value) / (apart / daysAYear)
		s.w.Add(fmt.Sprintf("pace from %s to %s", day(s.Events[a.event].Date), day(s.Events[b.event].Date)),
			fmt.Sprintf("(%s - %s)/(%.0f days/365.25)", number(b.value), number(a.value), apart), pace, s.Vehicle.DistanceUnit+"/year", "DESIGN_HISTORY")
	}
	both := []int{a.event, b.event}
	pair := append(s.pairOf(a, b), "pace", number(pace), "days", number(apart))
	switch {
	case b.value < a.value-s.slack(a.value):
		s.fell(a, b, apart, both, pair)
	case s.unitRatio(a.value, b.value) && (apart == 0 || pace > s.limit("pace-high", s.Vehicle.DistanceUnit)):
		s.find("unit-switch", both, pair...)
	default:
		s.judgePace(pace, apart, both, pair)
	}
}

// fell finds the reason for a fall that is likeliest to be innocent.
func (s *story) fell(a, b reading, apart float64, both []int, pair []string) {
	turn := s.limit("odometer-rollover", "turns_at")
	around := b.value + turn + 1 - a.value
	switch {
	case s.unitRatio(a.value, b.value):
		s.find("unit-switch", both, pair...)
	case a.value > s.limit("odometer-rollover", "share")*turn && a.value <= turn && apart > 0 &&
		around/(apart/daysAYear) <= s.limit("pace-high", s.Vehicle.DistanceUnit):
		s.find("odometer-rollover", both, pair...)
	default:
		s.find("odometer-falls", both, pair...)
	}
}

// judgePace finds a pace that is hard to believe, or hardly any.
func (s *story) judgePace(pace, apart float64, both []int, pair []string) {
	unit := s.Vehicle.DistanceUnit
	limit := func(key string) []string {
		return append(pair, "limit", number(s.limit(key, unit)))
	}
	switch {
	case pace > s.limit("pace-implausible", unit) && apart >= s.limit("pace-implausible", "days"):
		s.find("pace-implausible", both, limit("pace-implausible")...)
	case pace > s.limit("pace-high", unit) && apart >= s.limit("pace-high", "days"):
		s.find("pace-high", both, limit("pace-high")...)
	case pace > s.limit("pace-high", unit) && apart >= s.limit("pace-high-over-weeks", "days"):
		s.find("pace-high-over-weeks", both, limit("pace-high")...)
	case pace < s.limit("pace-low", unit) && apart >= s.limit("pace-low", "years")*daysAYear:
		s.find("pace-low", both, limit("pace-low")...)
	}
}

// wholeDistance holds the last reading against what cars of the place run on
// average.
func (s *story) wholeDistance(last reading) {
	average := s.home.PerYear
	if s.home.PerYearUnit != s.Vehicle.DistanceUnit {
		if s.home.PerYearUnit == Miles {
			average *= kmPerMile
		} else {
			average /= kmPerMile
		}
	}
	years := days(s.Vehicle.FirstUsed, s.Events[last.event].Date) / daysAYear
	if average == 0 || years < s.limit("distance-for-age", "years") {
		return
	}
	ratio := last.value / (average * years)
	s.w.Add("distance over the average", fmt.Sprintf("%s/(%.0f x %.1f years)", number(last.value), average, years), ratio, "", s.home.Source)
	if ratio < s.limit("distance-for-age", "low") || ratio > s.limit("distance-for-age", "high") {
		s.find("distance-for-age", []int{last.event}, "reading", number(last.value), "unit", s.Vehicle.DistanceUnit,
			"years", fmt.Sprintf("%.1f", years), "pace", number(last.value/years), "average", number(average))
	}
}
