package listen

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
)

// Source gives the samples of a recording, mono, full scale 1, block by block.
// Read fills a part of the block and gives how many it filled; io.EOF ends it.
type Source interface {
	SampleRate() int // samples a second
	Read(block []float32) (int, error)
}

// The sample rates that can be worked on.
const (
	LowestRate  = 4000
	HighestRate = 384000
)

// The longest recording that is listened to, seconds.
const longestS = 90 * 60

// InputError is a recording that cannot be listened to.
type InputError struct {
	What     string // "sample rate", "recording"
	Problem  string
	Expected string
}

func (e *InputError) Error() string {
	return fmt.Sprintf("%s: %s; expected %s", e.What, e.Problem, e.Expected)
}

// Samples is a recording that is wholly in memory.
type Samples struct {
	Rate int
	Mono []float32
	at   int
}

// SampleRate is the number of samples a second.
func (s *Samples) SampleRate() int { return s.Rate }

// Read gives the next samples.
func (s *Samples) Read(block []float32) (int, error) {
	if s.at >= len(s.Mono) {
		return 0, io.EOF
	}
	n := copy(block, s.Mono[s.at:])
	s.at += n
	return n, nil
}

// Options narrow what is listened to.
type Options struct {
	FromS float64 // seconds into the recording
	ToS   float64 // 0: to its end
}

func (o Options) check() error {
	if !(o.FromS >= 0) || !(o.ToS >= 0) || math.IsInf(o.FromS+o.ToS, 1) || o.ToS > 0 && o.ToS <= o.FromS {
		return &InputError{"stretch", fmt.Sprintf("from %g s to %g s", o.FromS, o.ToS), "0 <= from < to"}
	}
	return nil
}

// block is what a source gave at once.
type block struct {
	samples []float32
	err     error
}

// blocks is how many blocks are read ahead, so that decoding and listening go on
// side by side.
const (
	blocks      = 8
	blockLength = 1 << 14
)

// ahead reads a source until it ends, fails or is no longer wanted.
func ahead(src Source, stop <-chan struct{}) <-chan block {
	full := make(chan block, blocks)
	go func() {
		defer close(full)
		for {
			b := block{samples: make([]float32, blockLength)}
			n, err := src.Read(b.samples)
			b.samples, b.err = b.samples[:n], err
			select {
			case full <- b:
			case <-stop:
				return
			}
			if err != nil {
				return
			}
		}
	}()
	return full
}

// readAll brings a stretch of a recording to a rate near workingRate and draws
// its sonogram, in blocks.
func readAll(ctx context.Context, src Source, o Options) (*track, *sonogram, error) {
	rate := src.SampleRate()
	if rate < LowestRate || rate > HighestRate {
		return nil, nil, &InputError{"sample rate", fmt.Sprintf("%d a second", rate), fmt.Sprintf("%d to %d", LowestRate, HighestRate)}
	}
	if err := o.check(); err != nil {
		return nil, nil, err
	}
	d := newDecimator(max(1, rate/workingRate))
	t := &track{rate: float64(rate) / float64(d.factor), fromS: o.FromS}
	s := newSonogram(t.rate)
	s.left = func() bool { return ctx.Err() != nil }
	skip, most := int(math.Round(o.FromS*float64(rate))), longestS*rate
	if o.ToS > 0 {
		most = min(most, int(math.Round(o.ToS*float64(rate)))-skip)
	}
	stop := make(chan struct{})
	full := ahead(src, stop)
	defer func() {
		close(stop)
		for range full { // the source is the caller's again
		}
	}()
	for b := range full {
		if ctx.Err() != nil {
			return nil, nil, ctx.Err()
		}
		passed := min(skip, len(b.samples))
		skip -= passed
		now := b.samples[passed:min(len(b.samples), passed+most-t.read)]
		t.read += len(now)
		t.clipped += clipped(now)
		t.loudest = max(t.loudest, loudestOf(now))
		d.push(now, t.append)
		s.extend(t, false)
		if errors.Is(b.err, io.EOF) || t.read == most && o.ToS > 0 {
			break
		}
		if b.err != nil {
			return nil, nil, b.err
		}
		if t.read == most {
			return nil, nil, &InputError{"recording", "longer than 90 minutes", "5 to 60 minutes beside the car"}
		}
	}
	d.finish(t.append)
	s.extend(t, true)
	t.durationS = float64(t.read) / float64(rate)
	return t, s, nil
}

// loudestOf is the sample farthest from nought.
func loudestOf(block []float32) float32 {
	most := float32(0)
	for _, v := range block {
		most = max(most, v, -v)
	}
	return most
}

// clipped counts samples at full scale.
func clipped(block []float32) int {
	n := 0
	for _, v := range block {
		if v >= 0.999 || v <= -0.999 {
			n++
		}
	}
	return n
}
