package main

import "testing"

func TestSlips(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{{"export", "export", 0}, {"exprot", "export", 1}, {"forcast", "forecast", 1}, {"vni", "vin", 1}, {"", "vin", 3}, {"serve", "verify", 4}} {
		if got := slips(tt.a, tt.b); got != tt.want {
			t.Errorf("%q to %q: %d slips, want %d", tt.a, tt.b, got, tt.want)
		}
	}
}
