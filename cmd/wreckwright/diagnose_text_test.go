package main

import "testing"

func TestFigureOfAFlip(t *testing.T) {
	for v, want := range map[float64]string{0.30051: "0.3005", 76.249: "76.25", 838: "838", 10193.4: "10193", -21360.2: "-21360"} {
		if got := figure(v); got != want {
			t.Errorf("%g is %q; expected %q", v, got, want)
		}
	}
}
