package check

import (
	"fmt"
	"strings"
	"time"
)

// yearDays is the mean length of a year.
const yearDays = 365.25

// TyreWeek reads when a tyre was made from its code: four digits at the end, the
// week and the year. Three digits are of before 2000, whose decade they do not
// tell; wanted is why a code cannot be read. The day is the middle of that week.
//
// ref: CFR_49_574 574.5 date code
func TyreWeek(code string) (middle time.Time, wanted string) {
	const expected = "four digits, week and year, such as 2319 for week 23 of 2019"
	digits := strings.TrimSpace(code)
	if i := strings.LastIndexFunc(digits, func(r rune) bool { return r < '0' || r > '9' }); i >= 0 {
		digits = digits[i+1:]
	}
	if len(digits) == 3 {
		return time.Time{}, expected + "; three digits are from before 2000, and such a tyre is far too old to drive on"
	}
	if len(digits) != 4 {
		return time.Time{}, expected
	}
	week, year := int(digits[0]-'0')*10+int(digits[1]-'0'), 2000+int(digits[2]-'0')*10+int(digits[3]-'0')
	if week < 1 || week > 53 {
		return time.Time{}, "a week from 01 to 53 at its beginning"
	}
	// The first whole week of the year begins on the first Sunday.
	first := time.Date(year, time.January, 1, 0, 0, 0, 0, time.UTC)
	first = first.AddDate(0, 0, (7-int(first.Weekday()))%7)
	return first.AddDate(0, 0, 7*(week-1)+3), ""
}

// tyreParts is the age as one reading, in doubt by half a week to both sides.
func tyreParts(c Case) ([]Part, error) {
	if len(c.Readings) > 0 || len(c.Parts) > 0 {
		return nil, &InputError{"readings", "stands at a form that needs none (tyre_age)", "week_code"}
	}
	if c.On.IsZero() {
		return nil, &InputError{"on", "is missing", "the day that the age counts to"}
	}
	made, wanted := TyreWeek(c.WeekCode)
	if wanted != "" {
		return nil, &InputError{"week_code", fmt.Sprintf("is %q", c.WeekCode), wanted}
	}
	days := c.On.Sub(made).Hours() / 24
	if days < -4 {
		return nil, &InputError{"week_code", "names a week after " + c.On.Format(time.DateOnly), "a week that has begun"}
	}
	half := 3.5 / yearDays
	return []Part{{Readings: []float64{days / yearDays}, Instrument: Instrument{Limit: &half}}}, nil
}
