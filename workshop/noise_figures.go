package workshop

import (
	"context"
	"errors"
	"math"
	"strings"

	"wreckwright/bench/noise"
	"wreckwright/rebuild"
)

// The figures that a person looks at first.
const (
	figureLines = "Bearing lines over the noise"
	figureHeard = "Shaft, as heard"
	figureTold  = "Shaft, as told"
	figureTyre  = "Tyre, strength"
	figureDrive = "Driveline, strength"
)

// noiseFigures are the strengths, the speeds and the lines.
func noiseFigures(r noise.Result) []rebuild.EvidenceFigure {
	var list []rebuild.EvidenceFigure
	add := func(name, unit string, v float64) {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			list = append(list, rebuild.EvidenceFigure{Name: name, Value: v, Unit: unit})
		}
	}
	if r.Defect != nil {
		add(figureLines, "times", r.Defect.Strength)
		add("Their order", "", r.Defect.Order)
	}
	s := r.Scores
	add("Outer race, strength", "of 1", s.OuterRace)
	add("Inner race, strength", "of 1", s.InnerRace)
	add("Ball or roller, strength", "of 1", s.RollingElement)
	add(figureTyre, "of 1", s.Tyre)
	add(figureDrive, "of 1", s.Driveline)
	add(figureTold, "turns/s", r.ShaftHz)
	if r.HeardHz != nil {
		add(figureHeard, "turns/s", *r.HeardHz)
	}
	add("Length", "s", r.DurationS)
	if r.Clipped > 0 {
		add("Clipped", "%", 100*r.Clipped)
	}
	return list
}

// leadingNoise are those that a person looks at first; of a road test, how the
// noise changed.
func leadingNoise(all []rebuild.EvidenceFigure) []rebuild.EvidenceFigure {
	var list []rebuild.EvidenceFigure
	for _, f := range all {
		switch {
		case f.Name == figureLines, f.Name == figureTyre, f.Name == figureDrive, f.Unit == "dB":
			list = append(list, f)
		}
	}
	return list
}

// PartNoiseReason parts why a recording has its verdict: the first sentence, and what
// is said beyond it. Of a road test the comparisons are what is beyond.
func PartNoiseReason(why string) (first, more string) {
	if first, more, ok := strings.Cut(why, "condemns no part; "); ok {
		return first + "condemns no part", more
	}
	first, more, _ = strings.Cut(why, ". ")
	return first, more
}

// Leading are the figures that a person looks at first.
func (out Noised) Leading() []rebuild.EvidenceFigure { return leadingNoise(out.Figures) }

// NoiseSpectrum is a spectrum of the envelope to draw: how far each piece of the
// axis stands over the noise about it, over shaft orders.
type NoiseSpectrum struct {
	StepOrder float64
	OverDB    []float64 // piece k lies at k StepOrder
	TopOrder  float64
	Band      *noise.Band // that the envelope is of
	Marks     []noise.Mark
}

// How much of the spectra is kept.
const (
	mostOrders    = 40
	fewestOrders  = 12
	spectrumParts = 1600
	pictureAcross = 220
	pictureDown   = 72
)

// draw keeps what the pictures need, and no more of the spectra.
func (out *Noised) draw(ctx context.Context, c noise.Case) error {
	var err error
	out.Picture, err = noise.Spectrogram(ctx, c.Samples, c.Rate, pictureAcross, pictureDown)
	if err != nil && !tooLittle(err) {
		return err
	}
	out.Spectrum = spectrumOf(out.Result)
	out.Result.Sound, out.Result.Envelope = noise.Curve{}, noise.Curve{}
	if c.Track == nil {
		return nil
	}
	for _, w := range []struct {
		ask  func(context.Context, noise.Case) (noise.Matrix, error)
		into **noise.Matrix
	}{{noise.Waterfall, &out.Orders}, {noise.EnvelopeWaterfall, &out.Rings}} {
		m, err := w.ask(ctx, c)
		switch {
		case err == nil:
			*w.into = &m
		case !tooLittle(err):
			return err
		}
	}
	return nil
}

// tooLittle reports that a picture is not to be had: too short, or at one speed.
func tooLittle(err error) bool {
	var input *noise.InputError
	return errors.As(err, &input)
}

// spectrumOf is the envelope's spectrum over orders, thinned to what a screen shows:
// of each piece its highest.
func spectrumOf(r noise.Result) NoiseSpectrum {
	out := NoiseSpectrum{Marks: r.Expected}
	e := r.Envelope
	if !(r.RefHz > 0) || !(e.StepHz > 0) || len(e.Amp) < 2 {
		return out
	}
	if len(r.Bands) > 0 {
		out.Band = &r.Bands[0]
	}
	if r.Defect != nil {
		out.Band = &r.Defect.Band
	}
	top := float64(fewestOrders)
	for _, m := range r.Expected {
		top = math.Max(top, 1.1*m.Order)
	}
	if r.Defect != nil {
		top = math.Max(top, 3.3*r.Defect.Order)
	}
	top = math.Min(math.Min(top, mostOrders), float64(len(e.Amp)-1)*e.StepHz/r.RefHz)
	bins := int(top * r.RefHz / e.StepHz)
	each := max(1, bins/spectrumParts)
	out.TopOrder, out.StepOrder = top, float64(each)*e.StepHz/r.RefHz
	for first := 1; first+each <= bins+1 && first+each <= len(e.Amp); first += each {
		most := -math.MaxFloat64
		for k := first; k < first+each; k++ {
			floor := e.Amp[k]
			if k < len(e.Floor) {
				floor = e.Floor[k]
			}
			if e.Amp[k] > 0 && floor > 0 {
				most = math.Max(most, 20*math.Log10(e.Amp[k]/floor))
			}
		}
		out.OverDB = append(out.OverDB, math.Max(most, -10))
	}
	return out
}
