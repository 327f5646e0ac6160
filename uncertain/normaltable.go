package uncertain

import "math"

// The normal score of a random number is read from a table: half of the unit
// interval (the other half by symmetry) is cut into cells, and in each cell the
// quantile is a polynomial of degree 4 through Chebyshev points of
// [NormalQuantile]. In the outermost cells, where the quantile bends too
// sharply, NormalQuantile itself is used. Error below 1e-9 in the score.
const (
	cells     = 512 // over chances 0.5..1
	tailCells = 16  // of them worked out exactly: chances above 1 - 16/1024
)

type cell [5]float64 // coefficients in the offset -0.5..0.5 within the cell

var normalTable = buildNormalTable()

func buildNormalTable() *[cells]cell {
	var table [cells]cell
	for i := range cells - tailCells {
		table[i] = fitCell(func(t float64) float64 {
			return NormalQuantile(0.5 + (float64(i)+0.5+t)/(2*cells))
		})
	}
	return &table
}

// fitCell is the polynomial through f at the five Chebyshev points of
// -0.5..0.5, by divided differences.
func fitCell(f func(float64) float64) cell {
	var x, d [5]float64
	for k := range x {
		x[k] = 0.5 * math.Cos(math.Pi*(float64(k)+0.5)/5)
		d[k] = f(x[k])
	}
	for order := 1; order < 5; order++ {
		for k := 4; k >= order; k-- {
			d[k] = (d[k] - d[k-1]) / (x[k] - x[k-order])
		}
	}
	var c cell
	for k := 4; k >= 0; k-- { // c = c (t - x[k]) + d[k]
		for p := 4; p > 0; p-- {
			c[p] = c[p-1] - x[k]*c[p]
		}
		c[0] = d[k] - x[k]*c[0]
	}
	return c
}

// normalOf turns 64 random bits into a standard normal number: one bit is the
// sign, nine the cell, the other 54 the place within it.
func normalOf(bits uint64) float64 {
	i := bits >> 54 & (cells - 1)
	var z float64
	if i < cells-tailCells {
		t := float64(int64(bits<<10>>12))*(1.0/(1<<52)) - 0.5
		c := &normalTable[i]
		z = c[0] + t*(c[1]+t*(c[2]+t*(c[3]+t*c[4])))
	} else {
		z = outerNormal(bits)
	}
	return math.Float64frombits(math.Float64bits(z) ^ bits>>63<<63)
}

// outerNormal is the exact score of a number in the outermost cells. The chance
// beyond it is built from its own bits, so that the far tail keeps its digits.
func outerNormal(bits uint64) float64 {
	rest := (1<<63 - 1) - bits&(1<<63-1)
	return tailQuantile((float64(rest) + 0.5) * (1.0 / (1 << 64)))
}
