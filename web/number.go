package web

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// parseNumber reads a number as people write it: "3.5", "3,5", "1,200",
// "1.200,50", "1 200". Where both signs occur the later one is the decimal sign;
// a lone comma with just three digits after it groups thousands, unless a nought
// stands before it. A lone point is always the decimal sign, as the forms write it
// themselves.
func parseNumber(text string) (float64, error) {
	text = withoutSpaces(text)
	decimal, group := ".", ","
	if commaParts(strings.TrimLeft(text, "+-\u2212")) {
		decimal, group = group, decimal
	}
	whole, fraction, _ := strings.Cut(text, decimal)
	digits, err := ungrouped(whole, group)
	if err != nil || strings.Trim(fraction, "0123456789") != "" {
		return 0, fmt.Errorf("%q is not a number", text)
	}
	return strconv.ParseFloat(digits+"."+fraction, 64)
}

// commaParts reports whether a comma is the decimal sign of the number.
func commaParts(text string) bool {
	point, comma := strings.LastIndexByte(text, '.'), strings.LastIndexByte(text, ',')
	switch {
	case comma < 0:
		return false
	case point >= 0:
		return comma > point
	}
	return strings.Count(text, ",") == 1 && (len(text)-comma != 4 || strings.HasPrefix(text, "0"))
}

// parseWhole reads a whole number: "61200", "61,200", "61 200".
func parseWhole(text string) (int64, error) {
	digits, err := ungrouped(withoutSpaces(text), ",")
	if err != nil {
		return 0, err
	}
	return strconv.ParseInt(digits, 10, 64)
}

// ungrouped takes the signs between thousands out of the digits of a whole
// number. Digits that are not grouped by threes, as in "12,5", are an error.
func ungrouped(whole, group string) (string, error) {
	sign := ""
	if body := strings.TrimLeft(whole, "+-\u2212"); body != whole {
		sign, whole = strings.ReplaceAll(whole[:len(whole)-len(body)], "\u2212", "-"), body
	}
	parts := strings.Split(whole, group)
	for i, p := range parts {
		grouped := len(parts) == 1 || len(p) == 3 || i == 0 && len(p) > 0 && len(p) < 3
		if !grouped || strings.Trim(p, "0123456789") != "" {
			return "", fmt.Errorf("%q is not a number", whole)
		}
	}
	return sign + strings.Join(parts, ""), nil
}

// withoutSpaces takes out what parts thousands without a doubt.
func withoutSpaces(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '\'' || r == '\u2019' {
			return -1
		}
		return r
	}, text)
}
