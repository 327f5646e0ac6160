package noise

import "math"

// Case is a recording and what is known of it.
type Case struct {
	Samples     []float32 // mono, any scale
	Rate        int       // samples a second
	ShaftHz     float64   // the shaft or wheel, as stated; with a track its mean
	Track       *Track    // how the speed changed; nil: steady
	SpeedDoubt  float64   // relative, how far the stated speed may be off; 0: TachoDoubt, with a track RoadDoubt
	Bearing     *Geometry // nil: not known
	OuterTurns  bool      // the outer ring turns with the wheel, the inner stands
	Teeth       []int     // teeth that mesh in one turn of the shaft
	AxleRatio   float64   // turns of the propeller shaft per turn of the wheel; 0: not known
	Tyre        *Tyre     // the shaft is a wheel with this tyre; nil: no wheel, or not known
	TreadBlocks int       // blocks around the tread, counted; 0: leastBlocks to mostBlocks
	BlockS      float64   // length of the blocks averaged; 0: chosen

	second bool // the look is at the evened-out recording
}

// How far a stated speed may be off the heard one.
//
// ref: DESIGN_NOISE
const (
	TachoDoubt = 0.007 // rev counter
	RoadDoubt  = 0.03  // road speed with a rolling radius out of a size
)

// What can be worked on.
const (
	LowestRate    = 8000
	HighestRate   = 96000
	LongestS      = 600
	leastTurns    = 50 // that part lines a hundredth apart at the third order
	leastS        = 1.5
	longestBlockS = 10
	silentPeak    = 1e-7
)

// NeededS is how long a recording must be.
func NeededS(shaftHz float64) float64 { return math.Max(leastS, leastTurns/shaftHz) }

func (c Case) check() error {
	seconds := c.seconds()
	switch {
	case c.Rate < LowestRate || c.Rate > HighestRate:
		return wrong("sample rate", "8000 to 96000 samples a second", "%d samples a second", c.Rate)
	case !(c.ShaftHz > 0) || math.IsInf(c.ShaftHz, 0):
		return wrong("shaft speed", "a speed above 0", "%g turns a second", c.ShaftHz)
	case c.ShaftHz < 0.5 || c.ShaftHz > 1000:
		return wrong("shaft speed", "0.5 to 1000 turns a second (30 to 60000 rpm)", "%.4g turns a second", c.ShaftHz)
	case seconds < NeededS(c.ShaftHz):
		return wrong("recording", "more of it", "%.2f s are too short: at %.4g turns a second it must be at least %.1f s long (%d turns)", seconds, c.ShaftHz, NeededS(c.ShaftHz), leastTurns)
	case seconds > LongestS:
		return wrong("recording", "at most 10 minutes", "%.0f s are too long", seconds)
	case c.AxleRatio < 0 || c.AxleRatio > 50 || math.IsNaN(c.AxleRatio):
		return wrong("axle ratio", "above 0, at most 50", "%g", c.AxleRatio)
	case c.TreadBlocks < 0 || c.TreadBlocks > 200:
		return wrong("tread", "10 to 200 blocks around", "%d", c.TreadBlocks)
	case c.BlockS != 0 && !(c.BlockS >= NeededS(c.ShaftHz)/2 && c.BlockS <= 60):
		return wrong("block", "half of what a recording needs, to 60 s", "%g s", c.BlockS)
	}
	for _, t := range c.Teeth {
		if t < 2 || t > 1000 {
			return wrong("teeth", "2 to 1000", "%d", t)
		}
	}
	return c.checkBearing()
}

func (c Case) checkBearing() error {
	if c.Bearing != nil {
		if err := c.Bearing.Check(); err != nil {
			return err
		}
		if 3*c.turning(c.ShaftHz).BPFI > float64(c.Rate)*highestShare/2 {
			return wrong("sample rate", "a faster one, or a slower shaft", "%d samples a second hold no band wide enough for three harmonics of %.0f Hz", c.Rate, c.turning(c.ShaftHz).BPFI)
		}
	}
	return c.checkSamples()
}

func (c Case) checkSamples() error {
	peak := 0.0
	for _, v := range c.Samples {
		if a := math.Abs(float64(v)); !(a <= peak) {
			if math.IsNaN(a) || math.IsInf(a, 0) {
				return wrong("recording", "samples that are numbers", "a sample is no number")
			}
			peak = a
		}
	}
	varied := false
	for _, v := range c.Samples {
		if v != c.Samples[0] {
			varied = true
			break
		}
	}
	if peak < silentPeak || !varied {
		return wrong("recording", "sound", "silence")
	}
	return nil
}

func (c Case) seconds() float64 { return float64(len(c.Samples)) / math.Max(float64(c.Rate), 1) }

// withTrack takes the mean speed from the track.
func (c Case) withTrack() (Case, error) {
	if c.Track == nil {
		return c, nil
	}
	if c.Rate < LowestRate || c.Rate > HighestRate || len(c.Samples) == 0 {
		c.ShaftHz = 1 // what is wrong is said of the recording
		return c, nil
	}
	if err := c.Track.check(c.seconds()); err != nil {
		return c, err
	}
	from, to := c.Track.moving(c.seconds())
	if to-from < leastS {
		return c, wrong("speed track", "a stretch in which the wheel turns", "the shaft stands still, or turns for %.1f s only", to-from)
	}
	c.ShaftHz = c.Track.within(from, to).mean()
	if c.SpeedDoubt == 0 {
		c.SpeedDoubt = RoadDoubt
	}
	if turns := c.ShaftHz * (to - from); turns < leastTurns {
		return c, wrong("recording", "more of it", "the shaft makes %.0f turns in it: it must be at least %.1f s long at that speed (%d turns)", turns, leastTurns/c.ShaftHz, leastTurns)
	}
	return c, nil
}

// turning is the bearing's frequencies at a speed of the shaft.
func (c Case) turning(shaftHz float64) Frequencies {
	if c.OuterTurns {
		return c.Bearing.Turning(0, shaftHz)
	}
	return c.Bearing.Turning(shaftHz, 0)
}

// clipped is the share of samples in runs of three or more at the very peak: a
// recorder that was driven too hard flattens both ends alike.
func (c Case) clipped() float64 {
	peak := float32(0)
	for _, v := range c.Samples {
		peak = max(peak, v, -v)
	}
	limit := peak * 0.9998
	count, run := 0, 0
	for i := 0; i <= len(c.Samples); i++ {
		if i < len(c.Samples) && max(c.Samples[i], -c.Samples[i]) >= limit {
			run++
			continue
		}
		if run >= 3 {
			count += run
		}
		run = 0
	}
	return float64(count) / float64(len(c.Samples))
}
