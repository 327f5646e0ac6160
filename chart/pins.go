package chart

import "slices"

// placedPin is a pin whose words have found a place.
type placedPin struct {
	pin
	centre float64
}

// placePins sets the words of pins side by side above or below their places. When there is no room, values go first,
// then the pins of highest rank lose their words altogether (their marks stay, the table twin has all).
func placePins(pins []pin, x Scale, width float64) []placedPin {
	pins = slices.Clone(pins)
	for {
		wishes, sizes := make([]float64, len(pins)), make([]float64, len(pins))
		for i, p := range pins {
			wishes[i] = x.At(p.at)
			for _, l := range p.lines {
				sizes[i] = max(sizes[i], textWidth(l, textSize))
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

// shorten takes the last line from every pin that has two, or else all words from the pin of highest rank.
func shorten(pins []pin) []pin {
	short := false
	worst := -1
	for i, p := range pins {
		if len(p.lines) > 1 {
			pins[i].lines = p.lines[:1]
			short = true
		}
		if worst < 0 || p.rank > pins[worst].rank {
			worst = i
		}
	}
	if short {
		return pins
	}
	return slices.Delete(pins, worst, worst+1)
}
