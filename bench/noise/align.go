package noise

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// Alignment is when, in a track's own time, a recording began.
type Alignment struct {
	StartsS float64
	Clear   bool
	Why     string
}

// How an alignment is looked for.
const (
	alignStepS   = 0.25
	alignFrames  = 240
	alignFrameS  = 1.5
	alignLines   = 6   // harmonics of the shaft
	alignLead    = 6.0 // of the best over the rest, in robust standard deviations
	alignApartS  = 3   // nearer offsets are the same answer
	alignHighest = 400 // Hz
)

// aboutAsLongS: a track that goes on for no longer than this after the recording
// began with it.
const aboutAsLongS = 2

// Began looks for when the recording began in the time of the track of c: at once
// where the track is about as long as the recording, else as by [Align]. The
// alignment says why where that is not clear.
func Began(ctx context.Context, c Case) (Alignment, error) {
	if t := c.Track; t != nil && len(t.AtS) > 0 {
		if length := t.AtS[len(t.AtS)-1] - t.AtS[0]; length > c.seconds()+aboutAsLongS {
			return Align(ctx, c, 0, length)
		}
	}
	return Alignment{Clear: true}, nil
}

// Align looks for when the recording began in the time of the track of c, whose
// moments are counted from the track's own beginning: from loS to hiS at the
// most. For each beginning it adds up how loud the shaft's harmonics would be
// along the track; the right one follows them all. Where the speed hardly
// changes, or no shaft is heard, it is not clear.
//
// ref: DESIGN_NOISE
func Align(ctx context.Context, c Case, loS, hiS float64) (Alignment, error) {
	if c.Track == nil {
		return Alignment{}, wrong("speed track", "at least two moments, each with a speed", "none")
	}
	t := *c.Track
	if err := t.checkMoments(); err != nil {
		return Alignment{}, err
	}
	c.Track, c.ShaftHz = nil, math.Max(slowestHz, t.mean())
	if err := c.checkSound(); err != nil {
		return Alignment{}, err
	}
	loS, hiS = math.Max(loS, t.AtS[0]), math.Min(hiS, t.AtS[len(t.AtS)-1]-c.seconds())
	if hiS < loS {
		return Alignment{}, wrong("speed track", "a track that is at least as long as the recording", "it is %.1f s long and the recording %.1f s", t.AtS[len(t.AtS)-1]-t.AtS[0], c.seconds())
	}
	frames, err := c.alignFrames(ctx)
	if err != nil {
		return Alignment{}, err
	}
	var starts, scores []float64
	for at := loS; at <= hiS+1e-9; at += alignStepS {
		starts = append(starts, at)
		scores = append(scores, frames.along(t, at))
	}
	return clearest(starts, scores), nil
}

// alignSpectra are how far each bin of short spectra stands out, by frame.
type alignSpectra struct {
	step   float64
	at     []float64 // middle of the frame, s
	excess [][]float64
}

func (c Case) alignFrames(ctx context.Context) (alignSpectra, error) {
	rate := float64(c.Rate)
	n := smooth(int(alignFrameS * rate))
	if n >= len(c.Samples) {
		return alignSpectra{}, wrong("recording", "more of it", "%.1f s are too short to be laid beside a track", c.seconds())
	}
	count := min(alignFrames, max(2, int(2*c.seconds()/alignFrameS)))
	var out alignSpectra
	for i := range count {
		if err := ctx.Err(); err != nil {
			return out, err
		}
		first := i * (len(c.Samples) - n) / (count - 1)
		b := transform(c.Samples[first:], n, rate)
		s := newSpectrum(plainPower(nil, b, math.Min(alignHighest, rate/2)), 1, b.step)
		row := make([]float64, len(s.amp))
		for k := 1; k < len(row); k++ {
			r := s.amp[k] / math.Max(s.noise(float64(k)*s.step), math.SmallestNonzeroFloat64)
			row[k] = math.Log(math.Max(0.5, math.Min(r, 20))) // one loud line is no proof
		}
		out.step = s.step
		out.at = append(out.at, (float64(first)+float64(n)/2)/rate)
		out.excess = append(out.excess, row)
	}
	return out, nil
}

// along is how far the shaft's harmonics stand out if the recording began then.
func (a alignSpectra) along(t Track, startS float64) float64 {
	sum, n := 0.0, 0
	for i, row := range a.excess {
		hz := t.hz(startS + a.at[i])
		if hz < 2*a.step {
			continue
		}
		for k := 1; k <= alignLines; k++ {
			if bin := int(math.Round(hz * float64(k) / a.step)); bin > 0 && bin < len(row) {
				sum, n = sum+row[bin], n+1
			}
		}
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}

// clearest is the best start, clear where no other than its neighbours comes near.
func clearest(starts, scores []float64) Alignment {
	best := 0
	for i := range scores {
		if scores[i] > scores[best] {
			best = i
		}
	}
	out := Alignment{StartsS: starts[best]}
	var rest, apart []float64
	for i, s := range scores {
		if math.Abs(starts[i]-starts[best]) > alignApartS {
			rest = append(rest, s)
		}
	}
	if len(rest) < 8 {
		out.Why = "the track is hardly longer than the recording: nothing to choose from"
		return out
	}
	middle := median(rest)
	for _, s := range rest {
		apart = append(apart, math.Abs(s-middle))
	}
	spread := math.Max(1.4826*median(apart), 0.01)
	lead, second := (scores[best]-middle)/spread, (slices.Max(rest)-middle)/spread
	if out.Clear = lead >= alignLead && scores[best]-middle > 1.5*(slices.Max(rest)-middle); out.Clear {
		out.Why = fmt.Sprintf("the wheel's own orders follow the track when the recording began %.1f s after it (%.0f times the scatter of other beginnings, the next best %.0f)", out.StartsS, lead, second)
	} else {
		out.Why = "the recording does not say when it began: the speed hardly changes, or the wheel is not heard. Say when it was started"
	}
	return out
}

// checkSound is what of a case concerns the samples alone.
func (c Case) checkSound() error {
	if c.Rate < LowestRate || c.Rate > HighestRate {
		return wrong("sample rate", "8000 to 96000 samples a second", "%d samples a second", c.Rate)
	}
	if c.seconds() > LongestS {
		return wrong("recording", "at most 10 minutes", "%.0f s are too long", c.seconds())
	}
	return c.checkSamples()
}
