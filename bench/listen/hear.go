package listen

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Hear finds every run of the pump in a recording. A recording without one gives
// no runs and a caution. An error of the source is handed on; a recording that
// cannot be listened to is an [InputError]. It ends early, with the context's
// error, when nobody waits any more.
func Hear(ctx context.Context, src Source, o Options) (Result, error) {
	t, s, err := readAll(ctx, src, o)
	if err != nil {
		return Result{}, err
	}
	if t.durationS < shortestS {
		return Result{}, &InputError{"recording", seconds(t.durationS) + " long", "at least " + seconds(shortestS) + ", better 5 to 60 minutes"}
	}
	s.quietSteady()
	heard := s.machines(s.seeds(s.ridges()))
	r := Result{Runs: []Run{}, IntervalsS: []float64{}, Tones: []Tone{}, DurationS: t.durationS}
	if len(heard) > 0 {
		s.describe(&r, t, heard[0])
	}
	if ctx.Err() != nil {
		return Result{}, ctx.Err()
	}
	r.explain(t, heard, s)
	return r, nil
}

// shortestS is the shortest recording in which a run can be told from the rest.
const shortestS = 5

// describe fills in the runs of a machine.
func (s *sonogram) describe(r *Result, t *track, m machine) {
	var begins []start
	for _, p := range m.spans {
		if s.left() {
			return
		}
		begins = append(begins, s.starts(t, m, p))
	}
	tau := spinUp(begins)
	r.SpinUpS = &spinUps[tau]
	for i, p := range m.spans {
		if s.left() {
			return
		}
		run := Run{OnHeard: begins[i].whole, OffHeard: p.to < s.frames-2}
		run.OffS = t.durationS
		if run.OnHeard {
			run.OnS, run.OnDoubtS = likeliest(begins[i].atS, begins[i].nats[tau])
			run.OnS = max(0, run.OnS)
		}
		if run.OffHeard {
			run.OffS, run.OffDoubtS = s.end(t, m, p)
		}
		run.StrengthDB = s.strength(m.sig, p)
		loud := loudest(m.sig)
		run.FirstHz = binHz(float64(loud.bin + int(slices.Max(p.shift[:min(len(p.shift), int(insideS/s.hopS)+1)]))))
		run.LastHz = binHz(float64(loud.bin + int(p.shift[len(p.shift)-1])))
		run.OnS, run.OffS = run.OnS+t.fromS, run.OffS+t.fromS
		r.Runs = append(r.Runs, run)
		if i > 0 && run.OnHeard && r.Runs[i-1].OnHeard {
			r.IntervalsS = append(r.IntervalsS, run.OnS-r.Runs[i-1].OnS)
		}
	}
	for _, x := range m.sig {
		r.Tones = append(r.Tones, Tone{binHz(float64(x.bin)), x.levelDB})
	}
	slices.SortFunc(r.Tones, func(a, b Tone) int { return cmp.Compare(b.LevelDB, a.LevelDB) })
}

func loudest(sig signature) tone {
	return slices.MaxFunc(sig, func(a, b tone) int { return cmp.Compare(a.levelDB, b.levelDB) })
}

// strength is the median over a run of the power of all its tones over the noise
// beneath them, dB.
func (s *sonogram) strength(sig signature, p span) float64 {
	var all []float64
	for f := p.from; f <= p.to; f++ {
		tones, noise := 0.0, 0.0
		for _, x := range sig {
			b := x.bin + int(p.shift[f-p.from])
			if b < 0 || b >= s.bins {
				continue
			}
			floor := math.Pow(10, s.floorDB(f, b)/10)
			tones += floor * math.Pow(10, levelDB(s.row(f)[b])/10)
			noise += floor
		}
		all = append(all, 10*math.Log10(tones/noise))
	}
	slices.Sort(all)
	return stat.Quantile(0.5, stat.Empirical, all, nil)
}
