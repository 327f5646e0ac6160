package uncertain

// Range is what one person can say about a figure that is not known yet: its
// 10 %, 50 % and 90 % points. One chance in ten it is below Low, as likely
// above as below Likely, one chance in ten above High. The unit is the
// caller's (money, hours, days). Three equal numbers are a certain value.
//
// ref: DESIGN_RANGE
type Range struct {
	Low    float64 `json:"low" yaml:"low"`
	Likely float64 `json:"likely" yaml:"likely"`
	High   float64 `json:"high" yaml:"high"`
}

// Certain is the range of a value that is known.
func Certain(v float64) Range { return Range{v, v, v} }

// IsCertain reports whether the three points coincide.
func (r Range) IsCertain() bool { return r.Low == r.Likely && r.Likely == r.High }
