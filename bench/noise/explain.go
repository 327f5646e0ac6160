package noise

import (
	"fmt"
	"math"
)

// cautions stand with every result.
func cautions() []string {
	return []string{
		"Check for play with the wheel off the ground first: a loose hub is not driven. Support the car on stands on firm level ground by its maker's procedure, never on a jack alone.",
		"Record on the road only where it is empty, dry and straight, at moderate speed, with a helper holding the phone.",
	}
}

// explain adds the doubts and the working.
func (c Case) explain(r *Result, v view, f finding, said heard) {
	add := func(format string, args ...any) { r.Cautions = append(r.Cautions, fmt.Sprintf(format, args...)) }
	if r.Clipped > 0 {
		add("%.2g %% of the samples are clipped: the recording was too loud for the recorder.", 100*r.Clipped)
	}
	if !said.clear {
		add("The shaft's own speed does not show in the recording, so the stated one could not be checked.")
	} else if off := said.hz/c.ShaftHz - 1; math.Abs(off) > TachoDoubt {
		add("The recording turns %+.1f %% off the stated speed; the lines were looked for at the recording's own %.2f Hz.", 100*off, said.hz)
	}
	if r.Verdict == Fail && c.Track == nil {
		add("Something else that strikes as evenly at the same rate, of the engine say, looks the same at one speed: record again at another, or with a speed track, before buying parts.")
	}
	if c.Rate < 16000 && c.Bearing == nil {
		add("At %d samples a second ringing above %.0f Hz is not in the recording.", c.Rate, highestShare*float64(c.Rate))
	}
	w := &r.Working
	if c.Track != nil {
		w.Add("shaft frequency", "turns of the speed track over its time; all Hz are at this speed, as heard", c.ShaftHz, "Hz", "FYFE_MUNCK_1997")
	} else {
		w.Add("shaft frequency", "as stated", c.ShaftHz, "Hz", "given")
	}
	if c.second {
		w.Add("lines cut down to the floor about them, floor made flat", "amplitudes from so many times the median", evenLine, "", "DESIGN_NOISE_WHITENED")
	}
	if said.clear {
		w.Add("shaft frequency heard", "comb of its first five harmonics", said.hz, "Hz", "DESIGN_NOISE")
	}
	if b := r.Bearing; b != nil {
		const from = "RANDALL_ANTONI_2011"
		w.Add("ball pass frequency, outer race", "n/2 |fi - fo| (1 - d/D cos a)", b.BPFO, "Hz", from)
		w.Add("ball pass frequency, inner race", "n/2 |fi - fo| (1 + d/D cos a)", b.BPFI, "Hz", from)
		w.Add("ball spin frequency", "D/(2 d) |fi - fo| (1 - (d/D cos a)^2); a spot strikes twice a spin", b.BSF, "Hz", from)
		w.Add("cage frequency", "(fi (1 - d/D cos a) + fo (1 + d/D cos a)) / 2", b.FTF, "Hz", from)
	}
	w.Add("blocks averaged", "recording / block", float64(v.blocks), "", "DESIGN_NOISE")
	w.Add("resolution", "1 / block", v.plain.step, "Hz", "DESIGN_NOISE")
	w.Add("band, lower end", "where the strongest family shows, among the most impulsive", f.winner.band.LoHz, "Hz", "ANTONI_2007")
	w.Add("band, upper end", "", f.winner.band.HiHz, "Hz", "ANTONI_2007")
	w.Add("strength", "sqrt(first line x the better of second and third), each over the noise about it", f.winner.strength, "", "DESIGN_NOISE")
	w.Add("margin", "strength / that of the next family that is none of its sidebands", f.margin, "", "DESIGN_NOISE")
}
