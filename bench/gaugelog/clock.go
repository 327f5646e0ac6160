package gaugelog

import "bytes"

// timeForm is how a log writes its times.
type timeForm int

const (
	counted  timeForm = iota // a number of seconds, or of a multiple of them
	clock                    // 14:03:07.5 or 03:07.5
	calendar                 // 2027-01-04T14:03:07.5Z
)

const daySeconds = 86400

// formOf is the form of the first time in a log.
func formOf(cell []byte, point byte) (timeForm, bool) {
	if _, ok := number(cell, point); ok {
		return counted, true
	}
	if _, ok := clockSeconds(cell); ok {
		return clock, true
	}
	_, ok := calendarSeconds(cell)
	return calendar, ok
}

// clockSeconds reads h:m:s, h:m or, with a fraction, m:s. Two parts without a
// fraction are hours and minutes.
func clockSeconds(cell []byte) (float64, bool) {
	var parts [3]float64
	n, start := 0, 0
	for i := 0; i <= len(cell); i++ {
		if i < len(cell) && cell[i] != ':' {
			continue
		}
		part := cell[start:i]
		value, ok := fraction(part)
		if n == len(parts) || !ok || i < len(cell) && bytes.ContainsAny(part, ".,") || n > 0 && value >= 60 {
			return 0, false
		}
		parts[n] = value
		n, start = n+1, i+1
	}
	switch {
	case n == 3:
		return parts[0]*3600 + parts[1]*60 + parts[2], true
	case n == 2 && bytes.ContainsAny(cell, ".,"):
		return parts[0]*60 + parts[1], true
	case n == 2:
		return parts[0]*3600 + parts[1]*60, true
	}
	return 0, false
}

// fraction reads a number without sign, with either decimal sign.
func fraction(cell []byte) (float64, bool) {
	if len(cell) == 0 || cell[0] < '0' || cell[0] > '9' {
		return 0, false
	}
	if value, ok := number(cell, '.'); ok {
		return value, true
	}
	return number(cell, ',')
}

// calendarSeconds reads a date with a time of day, in seconds from 1970-01-01
// without leap seconds. Besides ISO 8601 it knows day.month.year and
// day/month/year (month first where the second part cannot be a month).
//
// ref: ISO_8601 date and time
func calendarSeconds(cell []byte) (float64, bool) {
	i := bytes.IndexAny(cell, "T t")
	if i < 0 {
		return 0, false
	}
	days, ok := dateDays(cell[:i])
	if !ok {
		return 0, false
	}
	rest := bytes.TrimSpace(cell[i+1:])
	offset := 0.0
	if n := len(rest); n > 0 && (rest[n-1] == 'Z' || rest[n-1] == 'z') {
		rest = rest[:n-1]
	} else if j := bytes.LastIndexAny(rest, "+-"); j > 0 {
		if offset, ok = zoneSeconds(rest[j:]); !ok {
			return 0, false
		}
		rest = rest[:j]
	}
	seconds, ok := clockSeconds(bytes.TrimSpace(rest))
	return float64(days)*daySeconds + seconds - offset, ok
}

// zoneSeconds reads +02:00, +0200 or +02.
func zoneSeconds(zone []byte) (float64, bool) {
	digits := bytes.ReplaceAll(zone[1:], []byte(":"), nil)
	value, ok := number(digits, '.')
	if !ok || len(digits) != 2 && len(digits) != 4 {
		return 0, false
	}
	hours, minutes := value, 0.0
	if len(digits) == 4 {
		whole := int(value)
		hours, minutes = float64(whole/100), float64(whole%100)
	}
	if zone[0] == '-' {
		hours, minutes = -hours, -minutes
	}
	return hours*3600 + minutes*60, true
}

// dateDays reads a date, in days from 1970-01-01.
func dateDays(date []byte) (int, bool) {
	var parts [3]int
	n, digits, lead := 0, 0, 0
	for i := 0; i <= len(date); i++ {
		if i < len(date) && date[i] >= '0' && date[i] <= '9' {
			parts[n], digits = parts[n]*10+int(date[i]-'0'), digits+1
			if digits > 4 {
				return 0, false
			}
			continue
		}
		if digits == 0 || i < len(date) && (n == 2 || bytes.IndexByte([]byte("-./"), date[i]) < 0) {
			return 0, false
		}
		if n == 0 {
			lead = digits
		}
		n, digits = n+1, 0
	}
	year, month, day := parts[0], parts[1], parts[2]
	if n != 3 {
		return 0, false
	}
	if lead != 4 {
		day, year = year, day
		if month > 12 {
			day, month = month, day
		}
	}
	if year < 100 {
		year += 2000
	}
	return civilDays(year, month, day), month >= 1 && month <= 12 && day >= 1 && day <= 31
}

// civilDays counts the days of the Gregorian calendar from 1970-01-01, with
// March as the first month so that the leap day comes last.
func civilDays(year, month, day int) int {
	if month <= 2 {
		year, month = year-1, month+12
	}
	return 365*year + year/4 - year/100 + year/400 + (153*(month-3)+2)/5 + day - 1 - 719468
}
