package listen

import (
	"fmt"
	"math"
)

// counted is a number with what it counts.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func seconds(v float64) string { return fmt.Sprintf("%.3g s", v) }

// silentLevel is the least step of 16 bits: what never rises over it holds no sound.
const silentLevel = 1.0 / (1 << 15)

// unsureS is the doubt of an edge that is worth a word.
const unsureS = 0.25

// explain adds cautions and the working.
func (r *Result) explain(t *track, heard []machine, s *sonogram) {
	r.Cautions = append([]string{}, r.doubts(t)...)
	if len(heard) > 1 && len(r.Runs) > 0 && heard[1].worth > heard[0].worth/2 {
		r.Cautions = append(r.Cautions, fmt.Sprintf("another machine comes and goes, near %.0f Hz, %s: check by ear which is the pump",
			binHz(float64(loudest(heard[1].sig).bin)), counted(len(heard[1].spans), "time")))
	}
	if t.clipped > t.read/1000 {
		r.Cautions = append(r.Cautions, "the recording is overdriven: lay the phone farther from what is loud")
	}
	r.work(t, heard, s)
}

// doubts is what is not certain of the runs.
func (r *Result) doubts(t *track) []string {
	if t.loudest <= silentLevel {
		return []string{"the recording is silent from start to end: the microphone was covered or switched off, or the app was not allowed to use it; " +
			"listen to the recording, then make it anew"}
	}
	if len(r.Runs) == 0 {
		return []string{"no run of a pump was found: it may not have run, may run on without stopping, or be too faint beside other sounds; " +
			"lay the phone nearer to the unit and record for longer"}
	}
	var out []string
	for i, run := range r.Runs {
		switch {
		case !run.OnHeard && !run.OffHeard:
			out = append(out, fmt.Sprintf("run %d fills the whole recording", i+1))
		case !run.OnHeard:
			out = append(out, fmt.Sprintf("run %d had begun before the recording did: its start and length are not known", i+1))
		case !run.OffHeard:
			out = append(out, fmt.Sprintf("run %d had not ended when the recording did: its length is not known", i+1))
		}
		if run.OnDoubtS > unsureS {
			out = append(out, fmt.Sprintf("other sounds lie over the start of run %d: known to +-%.2f s", i+1, run.OnDoubtS))
		}
		if run.OffDoubtS > unsureS {
			out = append(out, fmt.Sprintf("other sounds lie over the end of run %d: known to +-%.2f s", i+1, run.OffDoubtS))
		}
	}
	if len(r.IntervalsS) < 3 {
		out = append(out, fmt.Sprintf("%s from start to start: three are wanted before anything is said of the unit", counted(len(r.IntervalsS), "interval")))
	}
	return out
}

// work is the way to the result.
func (r *Result) work(t *track, heard []machine, s *sonogram) {
	w := &r.Working
	w.Add("length of the recording", "samples / rate", r.DurationS, "s", designListen)
	w.Add("rate listened to", "rate / whole number, after a low-pass filter", t.rate, "1/s", designListen)
	w.Add("frame", "power spectrum under a raised-cosine window, floor = median of neighbours / ln 2", s.hopS*overlap, "s", designListen)
	w.Add("machines that come and go", "tones that sound on and move together, learned and looked for again", float64(len(heard)), "", designListen)
	if len(heard) > 0 {
		w.Add("evidence for the likeliest pump", "sum of ln(likelihood with tones / without), counted by likeness; needed: "+
			fmt.Sprint(leastWorthNats), math.Round(heard[0].worth), "nats", designListen)
	}
	if len(r.Runs) == 0 {
		return
	}
	w.Add("likeness to a pump", "share of that evidence that is long, steady, level, sagging, apart and of one pitch; needed: "+
		fmt.Sprint(leastLike), heard[0].like, "", designListen)
	w.Add("tones of the pump", "lines that all runs have in common and the time about them lacks", float64(len(r.Tones)), "", designListen)
	w.Add("loudest tone", "at the middle of a run", r.Tones[0].Hz, "Hz", designListen)
	w.Add("motor gathering speed", "time constant tau of 1 - exp(-t/tau), likeliest over all starts", *r.SpinUpS, "s", designListen)
	w.Add("runs", "stretches of the likeliest way through silent and sounding", float64(len(r.Runs)), "", designListen)
	for i, v := range r.IntervalsS {
		w.Add(fmt.Sprintf("interval %d", i+1), "start to start", v, "s", designListen)
	}
}

const designListen = "DESIGN_LISTEN"
