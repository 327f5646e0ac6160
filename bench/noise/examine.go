package noise

import (
	"context"
	"fmt"
	"math"
)

// view is a recording by its spectra, all of one step.
type view struct {
	plain   spectrum
	bands   []Band
	spectra []spectrum // of the envelopes, by band
	blocks  int
}

// Examine looks for what makes the noise. The error is an [*InputError], or the
// context's.
func Examine(ctx context.Context, c Case) (Result, error) {
	c, err := c.withTrack()
	if err != nil {
		return Result{}, err
	}
	if err := c.check(); err != nil {
		return Result{}, err
	}
	if c.SpeedDoubt == 0 {
		c.SpeedDoubt = TachoDoubt
	}
	v, err := c.look(ctx)
	if err != nil {
		return Result{}, err
	}
	said := hearSpeed(append([]spectrum{v.plain}, v.spectra...), c.ShaftHz)
	r := c.judge(v, said)
	if c.Bearing == nil || r.Verdict == Fail || !c.agrees(v, said) || r.Clipped > clippedTooMuch {
		return r, nil
	}
	c.second = true
	again, err := c.look(ctx)
	if err != nil {
		return Result{}, err
	}
	again.plain = v.plain
	return c.judgeAgain(r, again, said), nil
}

// agrees says whether the heard speed, if any, is the stated one.
func (c Case) agrees(v view, said heard) bool {
	_, _, ok := c.believe(&Result{}, v, said)
	return ok
}

// judgeAgain adds the second look to the first: it may condemn where the first
// could not, and what it hears faintly is not passed.
func (c Case) judgeAgain(first Result, v view, said heard) Result {
	again := c.judge(v, said)
	switch {
	case again.Verdict == Fail:
		again.Why += ". Steady tones hid them until they were taken out of the recording"
		return again
	case first.Verdict == Pass && again.Defect.Strength >= evenFaint:
		first.Verdict = CannotTell
		first.Why = fmt.Sprintf("with steady tones taken out of the recording, faint lines stand where the %s is expected, %.1f times the noise (a defect counts from %.0f). Record longer, nearer to the hub, at another speed",
			again.Defect.Part, again.Defect.Strength, evenStrength)
	}
	return first
}

// look chooses the bands in the first block, then goes through all.
func (c Case) look(ctx context.Context) (view, error) {
	if c.Track != nil {
		return c.lookTracked(ctx, c.turnBlocks())
	}
	rate := float64(c.Rate)
	n, count := c.blocks()
	first := c.transform(c.Samples, n, rate)
	v := view{bands: choose(kurtogram(first, rate, c.widthHz())), blocks: count}
	topHz := c.topHz()
	var plain []float64
	powers := make([][]float64, len(v.bands))
	for i := range count {
		if err := ctx.Err(); err != nil {
			return view{}, err
		}
		b := first
		if i > 0 {
			start := i * (len(c.Samples) - n) / (count - 1)
			b = c.transform(c.Samples[start:], n, rate)
		}
		plain = plainPower(plain, b, math.Min(rate/2, c.ordersTo()))
		each(len(v.bands), func(j int) { powers[j] = envelopePower(powers[j], b, v.bands[j], topHz) })
	}
	v.plain = newSpectrum(plain, count, first.step)
	for _, p := range powers {
		v.spectra = append(v.spectra, newSpectrum(p, count, first.step))
	}
	return v, nil
}

// blocks gives the length of a block and how many cover the recording, the last
// laid against its end.
func (c Case) blocks() (n, count int) {
	length := c.BlockS
	if length == 0 {
		length = math.Max(longestBlockS, 1.1*quietTurns/c.ShaftHz)
	}
	n = smooth(min(int(length*float64(c.Rate)), len(c.Samples)))
	count = 1
	if rest := len(c.Samples) - n; rest > n/4 {
		count = 1 + int(math.Ceil(float64(rest)/float64(n)))
	}
	return n, count
}

// highest is the highest defect frequency, that of the plausible ones where no
// geometry is known.
func (c Case) highest() float64 {
	if c.Bearing == nil {
		return highestOrder * c.ShaftHz
	}
	f := c.turning(c.ShaftHz)
	return math.Max(f.BPFI, 2*f.BSF)
}

func (c Case) widthHz() float64 { return math.Max(narrowestHz, 3*c.highest()) }

func (c Case) topHz() float64 {
	return math.Min(3.4*c.highest()*(1+heardWithin), c.widthHz()*2)
}
