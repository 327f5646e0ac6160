package chart

import "slices"

// placedPin is a pin whose words have found a place.
type placedPin struct {
	pin
	centre float64
}

// placePins sets the words of pins side by side above or below their places. When there is no room, values go first, from
// the highest rank down, then the pins of highest rank lose their words altogether (their marks stay, the table twin has all).
func placePins(pins []pin, x Scale, width float64) []placedPin {
	pins = slices.Clone(pins)
	for {
		wishes, sizes := make([]float64, len(pins)), make([]float64, len(pins))
		for i, p := range pins {
			wishes[i] = x.At(p.at)
			for n, l := range p.lines {
				w := textWidth(l, textSize)
				if n > 0 {
					w *= boldWider // the second line is the value, set bolder
				}
				sizes[i] = max(sizes[i], w)
			}
		}
		if centres, ok := spread(wishes, sizes, 2, width-2, 8); ok {
			out := make([]placedPin, len(pins))
			for i, p := range pins {
				out[i] = placedPin{p, centres[i]}
			}
			return out
		}
		pins = shorten(pins)
	}
}

// shorten takes the value from the pin of highest rank that still shows one, or else all words from that of highest rank.
func shorten(pins []pin) []pin {
	worst, long := 0, -1
	for i, p := range pins {
		if p.rank > pins[worst].rank {
			worst = i
		}
		if len(p.lines) > 1 && (long < 0 || p.rank > pins[long].rank) {
			long = i
		}
	}
	if long >= 0 {
		pins[long].lines = pins[long].lines[:1]
		return pins
	}
	return slices.Delete(pins, worst, worst+1)
}
