package main

import (
	"bytes"
	"context"
	"slices"
	"strings"
	"testing"
)

func TestWithNegatives(t *testing.T) {
	for _, c := range []struct{ given, want string }{
		{"bench joint M8-8.8 --torque-nm 25", "bench joint M8-8.8 --torque-nm 25"},
		{"bench joint M8-8.8 --angle-deg -30 --json", "bench joint M8-8.8 --angle-deg=-30 --json"},
		{"bench joint M8-8.8 --torque-nm -.5", "bench joint M8-8.8 --torque-nm=-.5"},
		{"bench joint M8-8.8 --torque-nm=5 -3", "bench joint M8-8.8 --torque-nm=5 -3"},
		{"bench joint M8-8.8 --json -h", "bench joint M8-8.8 --json -h"},
		{"-5 a", "-5 a"},
		{"vin -- --x -5", "vin -- --x -5"},
	} {
		if got := withNegatives(strings.Fields(c.given)); !slices.Equal(got, strings.Fields(c.want)) {
			t.Errorf("%s becomes %v; expected %s", c.given, got, c.want)
		}
	}
}

// TestNumbersInPlainWords: a number that is none or impossible is answered in the
// words of whoever typed it.
func TestNumbersInPlainWords(t *testing.T) {
	for _, c := range []struct{ args, want string }{
		{"bench joint M8-8.8 --torque-nm much", `wreckwright: --torque-nm: expected a number, not "much"; wreckwright --help lists what there is`},
		{"bench joint M8-8.8 --torque-nm 25 --grip-mm 20 --angle-deg -30", `wreckwright: --angle-deg: angle -30 degrees is no angle to tighten by; expected 0 to 720 degrees`},
		{"bench joint M8-8.8 --torque-nm -5", `wreckwright: --torque-nm: torque -5 N·m is impossible; expected more than 0, up to 5000 N·m`},
		{"bench joint M8-8.8 --torque-nm 25 --studs five", `wreckwright: --studs: expected a number, not "five"; wreckwright --help lists what there is`},
	} {
		var out, errs bytes.Buffer
		if code := run(context.Background(), strings.Fields(c.args), &out, &errs); code != exitMisuse || out.Len() > 0 {
			t.Errorf("%s: exit %d, %q printed", c.args, code, out.String())
		}
		if got := strings.TrimSpace(errs.String()); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.args, got, c.want)
		}
	}
}
