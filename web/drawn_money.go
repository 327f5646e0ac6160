package web

import (
	"strings"
	"unicode"

	"wreckwright/chart"
)

// drawnMoney is how figures write sums: as the reader's locale does.
func (f Frame) drawnMoney() chart.Money {
	shown := f.Whole(1_234_567)
	first, last := strings.IndexFunc(shown, unicode.IsDigit), strings.LastIndexFunc(shown, unicode.IsDigit)
	if first < 0 {
		return chart.Money{}
	}
	before, after := strings.TrimSpace(shown[:first]), strings.TrimSpace(shown[last+1:])
	m := chart.Money{Symbol: before}
	if rest := strings.TrimLeft(shown[first:last+1], "0123456789"); rest != "" {
		m.Group = rest[:strings.IndexFunc(rest, unicode.IsDigit)]
	}
	if before == "" {
		m.Symbol, m.After = after, true
	}
	return m
}
