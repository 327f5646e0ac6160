package ledger

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// DayOrder is how a date such as 03/04/2026 is to be read.
type DayOrder string

// The day orders.
const (
	GuessOrder DayOrder = ""
	DayFirst   DayOrder = "day first"   // 03/04 is the 3rd of April
	MonthFirst DayOrder = "month first" // 03/04 is the 4th of March
)

// written is a date as its parts were written.
type written struct {
	a, b    int // the two parts whose order may be in doubt
	year    int
	order   DayOrder // settled by the way it is written; else empty
	dotted  bool
	ordered bool // year first or with the month's name: a is the month, b the day
}

// day is the date in that order.
func (w written) day(order DayOrder) (time.Time, bool) {
	month, day := w.a, w.b
	if !w.ordered && order != MonthFirst {
		month, day = w.b, w.a
	}
	t := time.Date(w.year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	ok := month >= 1 && month <= 12 && t.Day() == day && int(t.Month()) == month
	return t, ok && w.year >= 1970 && w.year <= 2200
}

// open reports whether the two orders give different days.
func (w written) open() bool {
	return !w.ordered && w.a <= 12 && w.b <= 12 && w.a != w.b
}

var months = [...]string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// readDate takes a cell apart: 2026-03-21, 2026/3/21, 20260321, 21/03/2026,
// 21.03.26, 3-21-2026, 21 Mar 2026, Mar 21, 2026; a time of day after it is
// passed over.
func readDate(text string) (written, error) {
	s := strings.TrimSpace(text)
	if s == "" {
		return written{}, fmt.Errorf("the date is missing")
	}
	s = cutTime(s)
	parts := dateParts(s)
	if len(parts) == 1 && len(parts[0]) == 8 {
		p := parts[0]
		parts = []string{p[:4], p[4:6], p[6:]}
	}
	if len(parts) != 3 {
		return written{}, notADate(text)
	}
	return fromParts(text, parts, s)
}

func notADate(text string) error {
	if n, err := strconv.Atoi(text); err == nil && n > 20000 && n < 80000 {
		return fmt.Errorf("%q looks like a spreadsheet's day number; show that column as dates there and copy it again", text)
	}
	return fmt.Errorf("%q is not a date; write it like 2026-03-21", text)
}

// cutTime drops " 14:03" or "T14:03:00Z".
func cutTime(s string) string {
	colon := strings.IndexByte(s, ':')
	if colon < 0 {
		return s
	}
	if at := strings.LastIndexAny(s[:colon], " T"); at > 0 {
		return strings.TrimSpace(s[:at])
	}
	return s
}

func dateParts(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune("-/. ,", r) })
}

// oneSign reports whether one and the same sign, not a comma, parts the numbers:
// 1,234.50 is a sum of money.
func oneSign(s string) bool {
	signs := strings.Trim(strings.Map(notDigit, s), " ")
	return signs == "" || signs == "--" || signs == "//" || signs == ".."
}

func notDigit(r rune) rune {
	if r >= '0' && r <= '9' {
		return -1
	}
	return r
}

func fromParts(text string, p []string, whole string) (written, error) {
	if m := monthNumber(p[1]); m > 0 {
		return named(text, m, p[0], p[2])
	}
	if m := monthNumber(p[0]); m > 0 {
		return named(text, m, p[1], p[2])
	}
	x, errX := number(p[0])
	y, errY := number(p[1])
	z, errZ := number(p[2])
	if errX != nil || errY != nil || errZ != nil || !oneSign(whole) {
		return written{}, notADate(text)
	}
	if len(p[0]) == 4 {
		return settled(text, written{a: y, b: z, year: x, ordered: true})
	}
	w := written{a: x, b: y, year: fullYear(z, len(p[2])), dotted: strings.Contains(whole, ".")}
	switch {
	case x > 12 && y > 12, x > 31, y > 31, len(p[2]) != 2 && len(p[2]) != 4:
		return written{}, notADate(text)
	case x > 12:
		w.order = DayFirst
	case y > 12:
		w.order = MonthFirst
	}
	return w, nil
}

func named(text string, month int, day, year string) (written, error) {
	d, errD := number(strings.TrimRight(strings.ToLower(day), "stndrh"))
	y, errY := number(year)
	if errD != nil || errY != nil || len(year) != 2 && len(year) != 4 {
		return written{}, notADate(text)
	}
	return settled(text, written{a: month, b: d, year: fullYear(y, len(year)), ordered: true})
}

// settled checks a date whose order is beyond doubt.
func settled(text string, w written) (written, error) {
	if _, ok := w.day(DayFirst); !ok {
		return written{}, fmt.Errorf("%q is not a day of the calendar between 1970 and 2200", text)
	}
	return w, nil
}

func number(s string) (int, error) {
	if len(s) == 0 || len(s) > 4 || strings.Trim(s, "0123456789") != "" {
		return 0, fmt.Errorf("%q is not a whole number", s)
	}
	return strconv.Atoi(s)
}

func monthNumber(s string) int {
	if len(s) < 3 {
		return 0
	}
	for i, m := range months {
		full := strings.ToLower(time.Month(i + 1).String())
		if lower := strings.ToLower(s); lower == m || lower == full || lower == "sept" && m == "sep" {
			return i + 1
		}
	}
	return 0
}

// fullYear reads two digits as 1969 to 2068.
//
// ref: POSIX_2018 strptime, conversion %y
func fullYear(y, digits int) int {
	switch {
	case digits != 2:
		return y
	case y >= 69:
		return 1900 + y
	}
	return 2000 + y
}

// orderOfColumn works out the day order from all dates of a column. sure is
// false where nothing in it settles the order and the guess is only the likelier.
func orderOfColumn(dates []written, today string) (order DayOrder, sure bool) {
	day, month, open := 0, 0, 0
	for _, w := range dates {
		switch {
		case w.order == DayFirst || w.dotted && w.order == "" && w.open():
			// With points the day comes first wherever dates are written so.
			// common practice, no source
			day++
		case w.order == MonthFirst:
			month++
		case w.open():
			open++
		}
	}
	switch {
	case day > 0 && month == 0:
		return DayFirst, true
	case month > 0 && day == 0:
		return MonthFirst, true
	case day > 0 && month > 0:
		if month > day {
			return MonthFirst, false
		}
		return DayFirst, false
	}
	if oddness(dates, MonthFirst, today) < oddness(dates, DayFirst, today) {
		return MonthFirst, open == 0
	}
	return DayFirst, open == 0
}

// oddness counts what speaks against an order: days still to come, and changes
// of direction, since bills are listed by date.
func oddness(dates []written, order DayOrder, today string) int {
	future, up, down := 0, 0, 0
	last := ""
	for _, w := range dates {
		t, ok := w.day(order)
		if !ok {
			continue
		}
		on := t.Format(time.DateOnly)
		if today != "" && on > today {
			future++
		}
		if last != "" && on > last {
			up++
		} else if last != "" && on < last {
			down++
		}
		last = on
	}
	return 2*future + min(up, down)
}
