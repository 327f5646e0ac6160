package uncertain

import "math"

// The normal score of a random number is read from a table. The chance beyond
// the score, between 2^-54 and one half, is cut into cells that halve with
// every octave, so that the far tail is as exact as the middle; in each cell
// the quantile is a cubic through Chebyshev points of [NormalQuantile]. Error
// below 1e-9 in the score.
const (
	perOctave = 64
	tailBits  = 52                          // random bits that make up the chance
	cellShift = 52 - 6                      // of a float64: exponent and 6 bits stay
	tableSize = 64 * perOctave              // a power of two, for 53 octaves
	firstCell = (1023 - 1) * perOctave      // of the chance 0.5 / 2^53
	usedCells = (tailBits + 1) * perOctave  //
	offsetOne = uint64(1023) << 52          // the bits of 1.0
	offsetMax = uint64(1)<<cellShift - 1    // the place within the cell
	tailScale = 1.0 / (1 << (tailBits + 1)) // from counted bits to a chance below 1/2
)

type cell [4]float64 // coefficients in the offset -0.5..0.5 within the cell

// normalTable has its cells where the upper bits of the chance point.
var normalTable = buildNormalTable()

func buildNormalTable() (table [tableSize]cell) {
	for i := firstCell; i < firstCell+usedCells; i++ {
		start := math.Float64frombits(uint64(i) << cellShift)
		width := math.Float64frombits(uint64(i+1)<<cellShift) - start
		table[i%tableSize] = fitCell(func(t float64) float64 {
			return -NormalQuantile((start + width*(t+0.5)) * tailScale)
		})
	}
	return table
}

// fitCell is the polynomial through f at the four Chebyshev points of
// -0.5..0.5, by divided differences.
func fitCell(f func(float64) float64) cell {
	var x, d cell
	for k := range x {
		x[k] = 0.5 * math.Cos(math.Pi*(float64(k)+0.5)/4)
		d[k] = f(x[k])
	}
	for order := 1; order < 4; order++ {
		for k := 3; k >= order; k-- {
			d[k] = (d[k] - d[k-1]) / (x[k] - x[k-order])
		}
	}
	var c cell
	for k := 3; k >= 0; k-- { // c = c (t - x[k]) + d[k]
		for p := 3; p > 0; p-- {
			c[p] = c[p-1] - x[k]*c[p]
		}
		c[0] = d[k] - x[k]*c[0]
	}
	return c
}

// normalOf turns 64 random bits into a standard normal number: the upper 52
// are the chance beyond it, the lowest is its sign. The cell and the place
// within it are read out of the chance's floating-point bits.
func normalOf(bits uint64) float64 {
	b := math.Float64bits(float64(int64(bits>>12)) + 0.5)
	c := &normalTable[b>>cellShift%tableSize]
	t := math.Float64frombits(offsetOne|(b&offsetMax)<<(52-cellShift)) - 1.5
	z := (c[0] + t*c[1]) + t*t*(c[2]+t*c[3])
	return math.Float64frombits(math.Float64bits(z) ^ bits<<63)
}
