package chart

import (
	"strconv"
	"time"
)

// TimeTick is one mark of a time axis: a name and, where a reader needs it, the year under it.
type TimeTick struct {
	At   time.Time
	Name string
	Year string
}

// MonthNames are the twelve short names of the months, January first. The zero value means English.
type MonthNames [12]string

func (m MonthNames) name(month time.Month) string {
	if m[month-1] != "" {
		return m[month-1]
	}
	return month.String()[:3]
}

// TimeTicks returns at most most+1 ticks between from and to. Ticks stand at the first of every 1, 2, 3, 6, 12, 24 ...
// months; a span with fewer than two of these gets days. The first tick and each January name the year.
func TimeTicks(from, to time.Time, most int, names MonthNames) []TimeTick {
	from, to = dayOf(from), dayOf(to)
	if to.Before(from) || most < 1 {
		return nil
	}
	ticks := monthTicks(from, to, most, names)
	if len(ticks) < 2 {
		ticks = dayTicks(from, to, most, names)
	}
	nameYears(ticks)
	return ticks
}

func monthTicks(from, to time.Time, most int, names MonthNames) []TimeTick {
	first := from.Year()*12 + int(from.Month()) - 1
	if from.Day() > 1 {
		first++
	}
	last := to.Year()*12 + int(to.Month()) - 1
	step := monthStep(last-first, most)
	var out []TimeTick
	for m := first; m <= last && len(out) < maxTicks; m++ {
		if m%step != 0 {
			continue
		}
		at := time.Date(m/12, time.Month(m%12+1), 1, 0, 0, 0, 0, time.UTC)
		out = append(out, TimeTick{At: at, Name: names.name(at.Month())})
	}
	return out
}

// monthStep is the smallest number of months that divides a year, or a number of whole years, with few enough steps.
func monthStep(months, most int) int {
	for _, step := range []int{1, 2, 3, 6, 12} {
		if months <= step*most {
			return step
		}
	}
	years := (months + 12*most - 1) / (12 * most)
	return 12 * int(NiceStep(float64(years), 1))
}

func dayTicks(from, to time.Time, most int, names MonthNames) []TimeTick {
	days := int(to.Sub(from).Hours() / 24)
	step := 7 * ((days + 7*most - 1) / (7 * most))
	for _, s := range []int{1, 2, 7, 14} {
		if days <= s*most {
			step = s
			break
		}
	}
	var out []TimeTick
	for d := 0; d <= days && len(out) < maxTicks; d += step {
		at := from.AddDate(0, 0, d)
		out = append(out, TimeTick{At: at, Name: strconv.Itoa(at.Day()) + " " + names.name(at.Month())})
	}
	return out
}

func nameYears(ticks []TimeTick) {
	for i := range ticks {
		if i == 0 || ticks[i].At.Year() != ticks[i-1].At.Year() {
			ticks[i].Year = strconv.Itoa(ticks[i].At.Year())
		}
	}
}

// dayOf drops the time of day: figures over months place a day, not an instant.
func dayOf(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// dayNumber is the position of a day on a time axis.
func dayNumber(t time.Time) float64 { return float64(dayOf(t).Unix()) / 86400 }
