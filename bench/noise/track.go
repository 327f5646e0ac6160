package noise

import (
	"math"
	"sort"
)

// Track is how fast a shaft turned while a recording was made: its frequency at
// moments counted from the recording's first sample, straight lines between.
type Track struct {
	AtS     []float64
	ShaftHz []float64
}

// What of a track can be worked on.
const (
	slowestHz    = 0.5 // below it a shaft stands, as far as order lines go
	fastestHz    = 1000
	steadyShare  = 0.01 // less than this much change is a steady speed
	longestTrack = 1 << 20
)

func (t Track) check(seconds float64) error {
	if err := t.checkMoments(); err != nil {
		return err
	}
	if first, last := t.AtS[0], t.AtS[len(t.AtS)-1]; first > 0.5 && first > 0.1*seconds || last < seconds-0.5 && last < 0.9*seconds {
		return wrong("speed track", "a track that spans the recording", "it runs from %.1f to %.1f s and the recording from 0 to %.1f s", first, last, seconds)
	}
	return nil
}

func (t Track) checkMoments() error {
	switch {
	case len(t.AtS) < 2 || len(t.AtS) != len(t.ShaftHz):
		return wrong("speed track", "at least two moments, each with a speed", "%d moments, %d speeds", len(t.AtS), len(t.ShaftHz))
	case len(t.AtS) > longestTrack:
		return wrong("speed track", "at most a million moments", "%d moments", len(t.AtS))
	}
	for i, at := range t.AtS {
		switch hz := t.ShaftHz[i]; {
		case math.IsNaN(at) || math.IsInf(at, 0) || i > 0 && at <= t.AtS[i-1]:
			return wrong("speed track", "times that rise", "moment %d is at %g s", i+1, at)
		case !(hz >= 0 && hz <= fastestHz):
			return wrong("speed track", "0 to 1000 turns a second", "%g turns a second at %g s", hz, at)
		}
	}
	return nil
}

// hz is the speed at a moment; before the first and after the last it is theirs.
func (t Track) hz(atS float64) float64 {
	i := sort.SearchFloat64s(t.AtS, atS)
	switch {
	case i == 0:
		return t.ShaftHz[0]
	case i == len(t.AtS):
		return t.ShaftHz[i-1]
	}
	share := (atS - t.AtS[i-1]) / (t.AtS[i] - t.AtS[i-1])
	return t.ShaftHz[i-1] + share*(t.ShaftHz[i]-t.ShaftHz[i-1])
}

// within cuts the track to a stretch, with a moment at both ends.
func (t Track) within(fromS, toS float64) Track {
	cut := Track{AtS: []float64{fromS}, ShaftHz: []float64{t.hz(fromS)}}
	for i, at := range t.AtS {
		if at > fromS && at < toS {
			cut.AtS, cut.ShaftHz = append(cut.AtS, at), append(cut.ShaftHz, t.ShaftHz[i])
		}
	}
	cut.AtS, cut.ShaftHz = append(cut.AtS, toS), append(cut.ShaftHz, t.hz(toS))
	return cut
}

// moving is the longest stretch of the recording in which the shaft turns.
func (t Track) moving(seconds float64) (fromS, toS float64) {
	whole := t.within(0, seconds)
	start := -1.0
	for i := range whole.AtS {
		if whole.ShaftHz[i] >= slowestHz {
			if start < 0 {
				start = whole.AtS[i]
			}
			if whole.AtS[i]-start > toS-fromS {
				fromS, toS = start, whole.AtS[i]
			}
		} else {
			start = -1
		}
	}
	return fromS, toS
}

// turns counts the shaft's turns from the track's first moment to each of its
// moments: the speed is a straight line between two, so that the trapezium is
// exact.
//
// ref: FYFE_MUNCK_1997 angle of the shaft
func (t Track) turns() []float64 {
	sum := make([]float64, len(t.AtS))
	for i := 1; i < len(sum); i++ {
		sum[i] = sum[i-1] + (t.AtS[i]-t.AtS[i-1])*(t.ShaftHz[i]+t.ShaftHz[i-1])/2
	}
	return sum
}

// timesOf gives the moments at which the shaft has made each number of turns of
// a rising list; sum is [Track.turns]. Within a piece the turns are a parabola of
// the time.
//
// ref: FYFE_MUNCK_1997 times of equal angle
func (t Track) timesOf(sum, turns []float64) []float64 {
	times := make([]float64, len(turns))
	i := 1
	for j, n := range turns {
		for i+1 < len(sum) && sum[i] < n {
			i++
		}
		v, rest := t.ShaftHz[i-1], n-sum[i-1]
		slope := (t.ShaftHz[i] - v) / (t.AtS[i] - t.AtS[i-1])
		// rest = v s + slope s^2 / 2, solved so that no small slope divides.
		times[j] = t.AtS[i-1] + 2*rest/(v+math.Sqrt(math.Max(v*v+2*slope*rest, 0)))
	}
	return times
}

// limits are the slowest and fastest speed.
func (t Track) limits() (low, high float64) {
	low, high = t.ShaftHz[0], t.ShaftHz[0]
	for _, hz := range t.ShaftHz {
		low, high = math.Min(low, hz), math.Max(high, hz)
	}
	return low, high
}

// mean is turns over time.
func (t Track) mean() float64 {
	sum := t.turns()
	return sum[len(sum)-1] / (t.AtS[len(t.AtS)-1] - t.AtS[0])
}
