package identity

import (
	"fmt"
	"strings"
)

// yearCodes are the characters of position 10, from 1980 on; the cycle of 30
// begins again in 2010. I, O, Q, U, Z and 0 stand for no year.
//
// ref: CFR_49_565 565.15 Table VII
const yearCodes = "ABCDEFGHJKLMNPRSTVWXY123456789"

const (
	firstYear  = 1980
	yearsCycle = 30
)

// modelYears are the years that position 10 may stand for, and notes about them.
// Where position7 holds, position 7 tells the half: a digit the years to 2009, a
// letter those from 2010.
//
// ref: CFR_49_565 565.15(d), position 7
func modelYears(vin string, position7 bool, thisYear int) (years []int, notes []string) {
	code := strings.IndexByte(yearCodes, vin[9])
	if code < 0 {
		return []int{}, []string{fmt.Sprintf("Position 10 is %c, which stands for no model year: the papers and the date of first registration tell the age.", vin[9])}
	}
	early, late := firstYear+code, firstYear+code+yearsCycle
	letter := vin[6] >= 'A'
	switch {
	case position7 && letter:
		years = []int{late}
		notes = append(notes, fmt.Sprintf("Position 7 is a letter, so the model year is %d; this holds for cars and light vehicles to 4,536 kg. A heavier vehicle, a trailer or a motorcycle may be of %d.", late, early))
	case position7:
		years = []int{early}
		notes = append(notes, fmt.Sprintf("Position 7 is a digit, so the model year is %d; this holds for cars and light vehicles to 4,536 kg. A heavier vehicle, a trailer or a motorcycle may be of %d.", early, late))
	default:
		years = []int{early, late}
		notes = append(notes, fmt.Sprintf("Position 10 would be %d or %d; outside North America it need not be a model year at all, and position 7 does not tell which half.", early, late))
	}
	if last := years[len(years)-1]; thisYear > 0 && last > thisYear+1 {
		notes = append(notes, fmt.Sprintf("Model year %d has not begun yet.", last))
	}
	return years, notes
}
