package chart

// Scale maps values from Low..High to positions From..To (To may be smaller: upward axes).
type Scale struct {
	Low, High float64
	From, To  float64
}

// At returns the position of v; values outside Low..High are held at the ends, so that no mark leaves its figure.
func (s Scale) At(v float64) float64 {
	if !(s.High > s.Low) {
		return (s.From + s.To) / 2
	}
	f := min(max((v-s.Low)/(s.High-s.Low), 0), 1)
	return s.From + f*(s.To-s.From)
}

// span is a growing interval of values.
type span struct {
	low, high float64
	some      bool
}

func (s *span) take(values ...float64) {
	for _, v := range values {
		if !finite(v) {
			continue
		}
		if !s.some {
			s.low, s.high, s.some = v, v, true
			continue
		}
		s.low, s.high = min(s.low, v), max(s.high, v)
	}
}

// padded returns the interval widened by a share of itself at both ends; a single value gets room around it.
func (s span) padded(share float64) (low, high float64) {
	if !s.some {
		return 0, 1
	}
	width := s.high - s.low
	if width <= 0 {
		width = max(1, s.high*0.1, -s.high*0.1)
		return s.low - width/2, s.high + width/2
	}
	return s.low - share*width, s.high + share*width
}
