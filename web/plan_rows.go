package web

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"wreckwright/rebuild"
)

// Lists in the forms of the plan - days away, slots, running costs - are rows of
// fields "name.1", "name.2". A row in which nothing stands is passed over.

// closeRows moves the rows in which something stands together and gives how many
// they are, so that the rules of the book and the form count alike.
func (f *Form) closeRows(fields ...string) int {
	n := 0
	for row := 1; row <= mostRows; row++ {
		if !f.filled(rowOf(row, fields...)...) {
			continue
		}
		n++
		for _, name := range fields {
			text := f.Value(rowOf(row, name)[0])
			delete(f.Values, rowOf(row, name)[0])
			f.Set(rowOf(n, name)[0], text)
		}
	}
	return n
}

func rowOf(row int, fields ...string) []string {
	names := make([]string, len(fields))
	for i, name := range fields {
		names[i] = name + "." + strconv.Itoa(row)
	}
	return names
}

// at is the value of a field in a row.
func (f *Form) at(name string, row int) string { return f.Value(rowOf(row, name)[0]) }

// setAt fills a field of a row.
func (f *Form) setAt(name string, row int, text string) { f.Set(rowOf(row, name)[0], text) }

// notPast refuses a day before today.
func (f *Form) notPast(field, name, today string) {
	if on := f.Value(field); on != "" && on < today {
		if _, err := time.Parse(time.DateOnly, on); err == nil {
			f.problem(field, "%s, %s, is past: today is %s", name, on, today)
		}
	}
}

// spans reads stretches of days; a single day needs no end.
func (f *Form) spans(field string) []rebuild.DaySpan {
	from, to, why := field+"_from", field+"_to", field+"_why"
	var list []rebuild.DaySpan
	for row := 1; row <= f.closeRows(from, to, why); row++ {
		span := rebuild.DaySpan{From: f.at(from, row), To: f.at(to, row), Why: f.at(why, row)}
		if span.To == "" {
			span.To = span.From
		}
		list = append(list, span)
	}
	return list
}

func (f *Form) setSpans(field string, list []rebuild.DaySpan) {
	for i, s := range list {
		f.setAt(field+"_from", i+1, s.From)
		f.setAt(field+"_to", i+1, s.To)
		f.setAt(field+"_why", i+1, s.Why)
	}
}

// SpanRows numbers the rows of a list of days: those filled, and two to add.
func (f *Form) SpanRows(field string) []int {
	return f.rowsFor(0, field+"_from", field+"_to", field+"_why")
}

// ExtraRows numbers the rows of days with extra time.
func (f *Form) ExtraRows() []int { return f.rowsFor(0, "extra_on", "extra_from", "extra_to") }

// SlotRows numbers the rows of slots.
func (f *Form) SlotRows() []int { return f.rowsFor(0, "slot") }

// CostRows numbers the rows of running costs.
func (f *Form) CostRows() []int { return f.rowsFor(0, "cost_name", "cost_amount") }

// WrongIn is what is wrong with a row of a list, whichever of its fields it is.
func (f *Form) WrongIn(field string, row int) string {
	at := fmt.Sprintf("%s.%d", field, row)
	for _, p := range f.Problems {
		if p.Field == at || strings.HasPrefix(p.Field, at+".") {
			return p.Text
		}
	}
	return ""
}

// extra reads days with extra working time.
func (f *Form) extra() []rebuild.Opening {
	var list []rebuild.Opening
	for row := 1; row <= f.closeRows("extra_on", "extra_from", "extra_to"); row++ {
		at := rowOf(row, "extra")[0]
		from, to := f.stretchOfDay(at, f.at("extra_on", row), f.at("extra_from", row), f.at("extra_to", row))
		list = append(list, rebuild.Opening{On: f.at("extra_on", row), From: from, To: to})
	}
	return list
}

func (f *Form) setExtra(list []rebuild.Opening) {
	for i, o := range list {
		f.setAt("extra_on", i+1, o.On)
		f.setAt("extra_from", i+1, clockField(o.From))
		f.setAt("extra_to", i+1, clockField(o.To))
	}
}

// stretchOfDay reads from when until when; midnight as an end is that of the
// day's end.
func (f *Form) stretchOfDay(field, name, from, to string) (int, int) {
	a, okFrom := minuteOf(from)
	b, okTo := minuteOf(to)
	if !okFrom || !okTo {
		f.problem(field, "%s: say from when and until when, like 18:30 and 21:00", name)
		return 0, 1
	}
	if b == 0 {
		b = minutesOfDay
	}
	return a, b
}

const minutesOfDay = 24 * 60

// minuteOf reads a time of the day, "18:30", "18.30" or "18", as minutes after
// midnight.
func minuteOf(text string) (int, bool) {
	hours, minutes, parted := strings.Cut(strings.Replace(text, ".", ":", 1), ":")
	h, err := strconv.Atoi(hours)
	if err != nil || h < 0 || h > 24 {
		return 0, false
	}
	if !parted {
		return 60 * h, true
	}
	minutes, _, _ = strings.Cut(minutes, ":") // some browsers send seconds
	m, err := strconv.Atoi(minutes)
	if err != nil || m < 0 || m > 59 || h == 24 && m > 0 {
		return 0, false
	}
	return 60*h + m, true
}

// clockField is a time of the day as a field for it takes it.
func clockField(minutes int) string {
	if minutes == minutesOfDay {
		return "00:00"
	}
	return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60)
}
