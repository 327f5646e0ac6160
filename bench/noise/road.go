package noise

import (
	"context"
	"fmt"
	"math"

	"wreckwright/working"
)

// RoadTag says what the car did while a piece was recorded.
type RoadTag string

// The tags of the guided road tests.
const (
	RoadCruise       RoadTag = "cruise"        // steady speed, straight on
	RoadWeaveLeft    RoadTag = "weave left"    // steering left: the right side is loaded
	RoadWeaveRight   RoadTag = "weave right"   // steering right: the left side is loaded
	RoadOtherSurface RoadTag = "other surface" // as cruise, on smoother or coarser asphalt
	RoadNeutral      RoadTag = "neutral"       // rolling in neutral, the engine running on
	RoadDrive        RoadTag = "drive"         // pulling
	RoadCoast        RoadTag = "coast"         // in gear, foot off
)

// RoadTags are all tags, in the order of the drive.
var RoadTags = []RoadTag{RoadCruise, RoadWeaveLeft, RoadWeaveRight, RoadOtherSurface, RoadNeutral, RoadDrive, RoadCoast}

// RoadPart is a piece of a recording with one tag.
type RoadPart struct {
	Tag     RoadTag
	Place   string // "FL", "FR", "RL", "RR": the corner that the phone lay at; empty: its usual place
	Samples []float32
	Rate    int
	ShaftHz float64
	Track   *Track // times of the piece; nil: steady at ShaftHz
}

// RoadLevel is how loud the noise was in a piece.
type RoadLevel struct {
	Tag     RoadTag
	Place   string
	DB      float64 // brought to the speed of the slowest piece
	SD      float64
	ShaftHz float64
	Seconds float64
}

// Road is what the road tests say.
type Road struct {
	ByLines  bool      // lines that stand out were compared; else the band in which bearings hum
	Orders   []float64 // of those lines
	Levels   []RoadLevel
	Tests    []RoadTest
	Cautions []string
	Working  working.Working
}

// RoadCautions stand before the driving.
func RoadCautions() []string {
	return []string{
		"First check each hub for play with the wheel off the ground, the car on stands by its maker's procedure: a loose hub is not driven, and never weaved.",
		"Only on an empty, dry, straight road with room on both sides, at moderate speed and within the law; weave gently, within the lane.",
		"A helper holds the phone and taps; the driver only drives. In neutral the engine keeps running: brakes and steering need it.",
	}
}

// What the level of a piece is made of.
//
// ref: DESIGN_ROAD_TESTS
const (
	leastPartS   = 2.0
	pieceTurns   = 24 // an order is parted to 1/24
	humLow       = lowestOrder
	humHigh      = highestOrder
	lineRatio    = 4.0 // over the noise about it, in the mean of all pieces
	mostLines    = 8
	lineShare    = 0.02
	speedPower   = 30.0 // dB for ten times the speed, tyre and road noise
	speedPowerSD = 10.0
	repeatSD     = 1.5 // dB between two pieces of the same kind, where only one was recorded
)

// HearRoad compares the pieces. The error is an [*InputError], or the context's.
func HearRoad(ctx context.Context, parts []RoadPart) (Road, error) {
	if len(parts) < 2 {
		return Road{}, wrong("road test", "at least two pieces with different tags", "%d pieces", len(parts))
	}
	heard := make([]roadSpectra, len(parts))
	for i, p := range parts {
		var err error
		if heard[i], err = p.listen(ctx, i+1); err != nil {
			return Road{}, err
		}
	}
	out := Road{Cautions: RoadCautions()}
	out.Orders = commonLines(heard)
	out.ByLines = len(out.Orders) > 0
	slowest := math.Inf(1)
	for _, h := range heard {
		slowest = math.Min(slowest, h.shaftHz)
	}
	for i, p := range parts {
		l := heard[i].level(out.Orders)
		l.Tag, l.Place = p.Tag, p.Place
		over := math.Log10(l.ShaftHz / slowest)
		l.DB -= speedPower * over
		l.SD = math.Hypot(l.SD, speedPowerSD*over)
		out.Levels = append(out.Levels, l)
	}
	out.compare()
	return out, nil
}

// roadSpectra are the power spectra of a piece over the shaft's angle, bin k at
// order k / pieceTurns.
type roadSpectra struct {
	frames  [][]float64
	shaftHz float64
	seconds float64
}

func (p RoadPart) listen(ctx context.Context, number int) (roadSpectra, error) {
	c := Case{Samples: p.Samples, Rate: p.Rate, ShaftHz: p.ShaftHz, Track: p.Track}
	at := func(err *InputError) *InputError {
		return &InputError{What: fmt.Sprintf("piece %d (%s): %s", number, p.Tag, err.What), Problem: err.Problem, Expected: err.Expected}
	}
	if err := c.checkSound(); err != nil {
		return roadSpectra{}, at(err.(*InputError))
	}
	seconds := c.seconds()
	if c.Track == nil {
		if !(p.ShaftHz >= slowestHz && p.ShaftHz <= fastestHz) {
			return roadSpectra{}, at(wrong("speed", "a speed above 0", "%g turns a second", p.ShaftHz))
		}
		c.Track = &Track{AtS: []float64{0, seconds}, ShaftHz: []float64{p.ShaftHz, p.ShaftHz}}
	}
	if err := c.Track.check(seconds); err != nil {
		return roadSpectra{}, at(err.(*InputError))
	}
	from, to := c.Track.moving(seconds)
	if to-from < leastPartS {
		return roadSpectra{}, at(wrong("recording", "at least 2 s at speed", "%.1f s", to-from))
	}
	b := c.turnBlocks()
	whole := b.sum[len(b.sum)-1]
	if b.turns = pieceTurns; whole < pieceTurns {
		return roadSpectra{}, at(wrong("recording", "more of it", "the wheel makes %.0f turns: it must be at least %.1f s long at that speed (%d turns)", whole, pieceTurns/b.refHz, pieceTurns))
	}
	b.starts = nil
	for start := 0.0; start+pieceTurns <= whole; start += pieceTurns / 2 {
		b.starts = append(b.starts, start)
	}
	out := roadSpectra{shaftHz: b.refHz, seconds: to - from}
	top := math.Min(1.2*humHigh*b.refHz, highestShare*float64(p.Rate)/b.fastest)
	for i := range b.starts {
		if err := ctx.Err(); err != nil {
			return out, err
		}
		blk, where := c.turnBlock(b, i)
		out.frames = append(out.frames, addPower(nil, b.spectrum(i, where, lowPassed(blk, top*b.fastest), top)))
	}
	return out, nil
}

// commonLines are the orders of lines that stand out in the mean of all pieces,
// so that no piece chooses for the others.
func commonLines(heard []roadSpectra) []float64 {
	bins := math.MaxInt
	for _, h := range heard {
		bins = min(bins, len(h.frames[0]))
	}
	sum, count := make([]float64, bins), 0
	for _, h := range heard {
		for _, f := range h.frames {
			for k := range sum {
				sum[k] += f[k]
			}
			count++
		}
	}
	s := newSpectrum(sum, count, 1.0/pieceTurns)
	var lines []line
	for k := int(humLow * pieceTurns); k+1 < len(s.amp) && float64(k) <= humHigh*pieceTurns; k++ {
		order := float64(k) / pieceTurns
		if s.amp[k] < s.amp[k-1] || s.amp[k] <= s.amp[k+1] || s.amp[k] < lineRatio*s.noise(order) {
			continue
		}
		lines = append(lines, line{hz: order, ratio: s.amp[k]})
	}
	return strongestOrders(lines)
}

// level is the power of the lines over the noise about them, or of the whole band
// where there are none.
func (h roadSpectra) level(orders []float64) RoadLevel {
	levels := make([]float64, len(h.frames))
	for i, f := range h.frames {
		levels[i] = 10 * math.Log10(math.Max(humPower(f, orders), math.SmallestNonzeroFloat64))
	}
	mean, sd := meanAndSD(levels)
	// Frames overlap by half, so that about every second is new.
	fresh := float64(len(levels)+1) / 2
	if len(levels) < 2 {
		sd = repeatSD
	}
	return RoadLevel{DB: mean, SD: sd / math.Sqrt(fresh), ShaftHz: h.shaftHz, Seconds: h.seconds}
}

func humPower(frame, orders []float64) float64 {
	if len(orders) == 0 {
		return sumOf(frame, humLow, humHigh)
	}
	total := 0.0
	for _, o := range orders {
		wide := math.Max(lineShare*o, 1.5/pieceTurns)
		// A Hann window spreads a line over three bins.
		total += sumOf(frame, o-wide, o+wide)
	}
	return total
}

func sumOf(frame []float64, low, high float64) float64 {
	sum := 0.0
	for k := max(int(math.Ceil(low*pieceTurns)), 1); k < len(frame) && float64(k) <= high*pieceTurns; k++ {
		sum += frame[k]
	}
	return sum
}

func meanAndSD(v []float64) (mean, sd float64) {
	for _, x := range v {
		mean += x
	}
	mean /= float64(len(v))
	if len(v) < 2 {
		return mean, 0
	}
	for _, x := range v {
		sd += (x - mean) * (x - mean)
	}
	return mean, math.Sqrt(sd / float64(len(v)-1))
}
