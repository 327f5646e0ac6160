package demo

import (
	"fmt"
	"math"
)

// drawGauge is a round gauge; its needle follows the number in the text.
func drawGauge(s *sketch, text string) {
	value := number(text)
	full := 100.0
	if value <= 2.5 {
		full = 2.5
	}
	s.ring(metal, 240, 176, 136, 132)
	s.ring("#fffdf6", 240, 176, 120, 116)
	for i := 0.0; i <= 10; i++ {
		a := 135 + 27*i
		x1, y1 := spoke(240, 176, 98, a)
		x2, y2 := spoke(240, 176, 112, a)
		s.line(x1, y1, x2, y2)
		if math.Mod(i, 2) == 0 {
			x, y := spoke(240, 176, 80, a)
			s.words(x, y+5, 15, fmt.Sprintf("%.3g", full*i/10))
		}
	}
	x, y := spoke(240, 176, 92, 135+270*value/full)
	s.mark(240, 176, x, y)
	s.ring(ink, 240, 176, 10, 10)
	s.box(metal, 218, 306, 44, 30)
	s.words(240, 246, 18, "bar")
	s.tag(text)
}

// number reads the number that a text begins with; 0 where there is none.
func number(text string) float64 {
	var value float64
	if _, err := fmt.Sscanf(text, "%g", &value); err != nil {
		return 0
	}
	return value
}

// drawStopwatch is a stopwatch; its hand stands at the seconds in the text.
func drawStopwatch(s *sketch, text string) {
	s.box(metal, 220, 24, 40, 30)
	s.ring(metal, 240, 188, 138, 134)
	s.ring("#fffdf6", 240, 188, 122, 118)
	for i := 0.0; i < 12; i++ {
		x1, y1 := spoke(240, 188, 104, i*30)
		x2, y2 := spoke(240, 188, 116, i*30)
		s.line(x1, y1, x2, y2)
	}
	x, y := spoke(240, 188, 96, -90+6*math.Mod(number(text), 60))
	s.mark(240, 188, x, y)
	s.ring(ink, 240, 188, 8, 8)
	s.words(240, 252, 30, text)
}

// drawMeter is a multimeter that shows the text.
func drawMeter(s *sketch, text string) {
	s.shape("#e0b84a", 150, 40, 330, 40, 338, 310, 142, 310)
	s.box("#cfd8c4", 170, 62, 140, 70)
	s.words(240, 108, 32, text)
	s.ring(rubber, 240, 204, 46, 46)
	s.path(s.trail(false, []float64{240, 204, 268, 172}), none, paper, 5)
	s.ring(ink, 190, 282, 9, 9)
	s.ring(hurt, 290, 282, 9, 9)
	s.line(190, 290, 120, 330, 40, 300)
	s.mark(290, 290, 370, 332, 450, 296)
}
