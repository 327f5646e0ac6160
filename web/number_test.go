package web

import (
	"testing"

	"pgregory.net/rapid"
)

func TestNumbersAsPeopleWriteThem(t *testing.T) {
	for text, want := range map[string]float64{
		"3.5": 3.5, "3,5": 3.5, "1,200": 1200, "1,200.50": 1200.5, "1.200,50": 1200.5, "1 200,5": 1200.5,
		"1\u202f200": 1200, "1'200.5": 1200.5, "0,125": 0.125, "-0,125": -0.125, "1.125": 1.125, "1,234,567": 1234567,
		"12.345.678,9": 12345678.9, "-12": -12, "\u221212": -12, ".5": 0.5, ",5": 0.5, "5.": 5, "12,34": 12.34,
	} {
		if got, err := parseNumber(text); err != nil || got != want {
			t.Errorf("parseNumber(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", ".", "NaN", "Inf", "1e5", "0x1p4", "1.2.3", "1,2,3", "12,34,5", "1,2345.0", "1-2", "--1", "3 h"} {
		if got, err := parseNumber(text); err == nil {
			t.Errorf("parseNumber(%q) = %v; want an error", text, got)
		}
	}
}

func TestWholeNumbers(t *testing.T) {
	for text, want := range map[string]int64{"61200": 61200, "61,200": 61200, "61 200": 61200, "-3": -3} {
		if got, err := parseWhole(text); err != nil || got != want {
			t.Errorf("parseWhole(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "12,5", "61.200", "3.5", "x", "99999999999999999999"} {
		if got, err := parseWhole(text); err == nil {
			t.Errorf("parseWhole(%q) = %v; want an error", text, got)
		}
	}
}

// What a form shows it reads back the same.
func TestNumbersComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e9, 1e9).Draw(t, "number")
		if got, err := parseNumber(trimNumber(v)); err != nil || got != v {
			t.Fatalf("parseNumber(%q) = %v, %v", trimNumber(v), got, err)
		}
	})
}
