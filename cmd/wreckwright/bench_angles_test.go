package main

import (
	"errors"
	"io"
	"testing"

	"wreckwright/bench/angles/anglesfile"
	"wreckwright/casefile"
)

// FuzzAnglesCase: whatever stands in a case file, there are angles or one
// mistake with its line.
func FuzzAnglesCase(f *testing.F) {
	for _, seed := range []string{
		"lines: {left: parallel, right: parallel}\nwheels: {FL: {rim_mm: 483, front_mm: 152, rear_mm: 150.4, camber_deg: -1.3, hub_x_mm: 0, sweep: {out_deg: 20, camber_out_deg: 0.95, in_deg: 20, camber_in_deg: -3.6, pitch_out_deg: 4.1, pitch_in_deg: -4.3}}}\ntie_rod: {pitch_mm: 1.5, arm_mm: 145, arm: ahead, above_pivot_mm: 30, sleeve: yes}\nwant: {front: {toe_deg: [0, 0.1], camber_deg: [-1, -0.5]}, thrust_deg: [-0.1, 0.1], source: x}\n",
		"lines: {left: free, right: free, gap: [{at_mm: 1300, mm: 1885}, {at_mm: -1310, mm: 1875}]}\nwheels: {FL: {rim_mm: 445, front_mm: 184, rear_mm: 181, hub_x_mm: 1300}, FR: {rim_mm: 445, front_mm: 168, rear_mm: 166, hub_x_mm: 1284}, RL: {rim_mm: 470, front_mm: 189, rear_mm: 185, hub_x_mm: -1310}, RR: {rim_mm: 470, front_mm: 160, rear_mm: 160, hub_x_mm: -1309}}\n",
		"wheels: {RR: {camber_deg: -1, turned: {camber_deg: -1.2}}}\nfloor: {rear: {left_higher_mm: 6, track_mm: 1530}, nose_down_deg: 1}\nshim: {spacing_mm: 120}\ncorner_weights_kg: {FL: 1, FR: 2, RL: 3, RR: 4}\nride_height_mm: {FL: 1, FR: 2, RL: 3, RR: 4}\nreading_sd: {camber_deg: 0, weight_kg: 1}\nwant: {rear: {camber_deg: [-5, -4]}, cross_percent: [49, 51]}\n",
		"wheels: {FL: {sweep: {out_deg: 20, camber_out_deg: 1, in_deg: 20, camber_in_deg: -3}}}\n", "wheels: {}\n", "wheels: {FL: }\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		err := tryAnglesCase(data)
		var wrong *casefile.Error
		if err != nil && (!errors.As(err, &wrong) || wrong.Problem == "" || wrong.Expected == "") {
			t.Fatalf("%q: %v", data, err)
		}
	})
}

func tryAnglesCase(data []byte) error {
	file, err := casefile.Parse("case.yaml", data)
	if err != nil {
		return err
	}
	c, err := anglesfile.From("case.yaml", file)
	if err != nil {
		return err
	}
	result, err := c.Examine()
	if err != nil {
		return err
	}
	full := anglesResult{result, nil}
	writeAngles(io.Discard, full)
	return writeJSON(io.Discard, full) // no figure that JSON has no word for
}
