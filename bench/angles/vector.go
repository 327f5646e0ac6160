package angles

import "math"

const degree = math.Pi / 180

type vector [3]float64

func (a vector) minus(b vector) vector { return vector{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func (a vector) plus(b vector) vector { return vector{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }

func (a vector) times(f float64) vector { return vector{f * a[0], f * a[1], f * a[2]} }

func (a vector) dot(b vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func (a vector) cross(b vector) vector {
	return vector{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func (a vector) unit() vector { return a.times(1 / math.Sqrt(a.dot(a))) }
