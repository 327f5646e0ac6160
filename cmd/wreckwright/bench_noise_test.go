package main

import (
	"errors"
	"testing"

	"wreckwright/bench/noise"
)

// FuzzGeometry: any text is a bearing that can be, or one mistake with what was expected.
func FuzzGeometry(f *testing.F) {
	for _, s := range []string{"14,12.7,60,36", "9,0.3126,1.537,0", "", "9,1,2", "9,NaN,2,0", "9,1,Inf,0", "-1,1e-300,1e300,89.9", "3,1,2,1e9"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		g, err := readGeometry(text)
		var input *noise.InputError
		if err != nil && (!errors.As(err, &input) || input.Expected == "") {
			t.Fatalf("%q: %v", text, err)
		}
		if lines := g.Turning(10, 0); err == nil && !(lines.BPFO > 0 && lines.BPFI >= lines.BPFO && lines.FTF > 0) {
			t.Fatalf("%q turns as %+v", text, lines)
		}
	})
}
