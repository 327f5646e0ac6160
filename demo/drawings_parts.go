package demo

// drawRadiator is a radiator from the front with a crack in its tank.
func drawRadiator(s *sketch, text string) {
	s.box(rubber, 50, 80, 44, 200)
	s.box(pale, 94, 84, 290, 192)
	s.box(rubber, 384, 80, 44, 200)
	for y := 98.0; y < 272; y += 14 {
		s.line(98, y, 380, y)
	}
	s.ring(metal, 72, 104, 12, 12)
	s.ring(metal, 406, 250, 12, 12)
	s.mark(56, 236, 70, 246, 66, 258, 84, 272)
	s.path(s.trail(true, []float64{70, 280, 78, 306, 70, 316, 60, 306}), green, ink, 2)
	s.circleMark(70, 252, 38)
	s.tag(text)
}

// drawConnector is a plug from its mating side with green pins.
func drawConnector(s *sketch, text string) {
	s.box(rubber, 120, 90, 230, 150)
	s.box(pale, 140, 108, 190, 114)
	for i := range 6 {
		x, y := 166+float64(i%3)*62, 128+float64(i/3)*48
		fill := metal
		if i == 1 || i == 5 {
			fill = green
		}
		s.box(fill, x, y, 24, 24)
	}
	for x := 150.0; x < 330; x += 30 {
		s.line(x, 240, x-8, 290, x+6, 320)
	}
	s.circleMark(240, 140, 32)
	s.circleMark(302, 188, 32)
	s.tag(text)
}

// drawHose is a length of hose with a worn place.
func drawHose(s *sketch, text string) {
	d := s.trail(false, []float64{50, 250, 120, 236, 170, 190, 210, 140, 280, 120, 360, 130, 430, 100})
	s.path(d, none, ink, 46)
	s.path(d, none, rubber, 41)
	s.box(metal, 36, 224, 40, 52)
	s.box(metal, 404, 78, 40, 52)
	s.mark(190, 150, 206, 158, 200, 168, 216, 172)
	s.mark(204, 136, 220, 146, 216, 156)
	s.circleMark(206, 154, 42)
	s.tag(text)
}

// drawPump is a hydraulic unit: motor, reservoir, gas ball, block.
func drawPump(s *sketch, text string) {
	s.box(metal, 70, 176, 150, 76)
	s.line(100, 176, 100, 252)
	s.line(190, 176, 190, 252)
	s.box(pale, 220, 150, 110, 110)
	s.ring(rubber, 275, 104, 52, 48)
	s.shape("#e8e2c6", 330, 110, 420, 110, 420, 240, 330, 240)
	s.line(334, 180, 416, 180)
	s.words(375, 174, 14, "max")
	s.line(250, 260, 250, 300, 150, 310)
	s.line(300, 260, 304, 306, 400, 312)
	s.circleMark(275, 104, 64)
	s.tag(text)
}

// drawBelt is a belt stalk that was pulled down.
func drawBelt(s *sketch, text string) {
	s.shape(rubber, 250, 40, 420, 60, 430, 300, 240, 300)
	s.shape(pale, 60, 40, 82, 40, 214, 230, 194, 240)
	s.box(rubber, 176, 222, 54, 46)
	s.box(hurt, 186, 228, 34, 12)
	s.line(196, 268, 190, 286, 206, 292, 190, 300, 206, 306)
	s.line(210, 268, 216, 286, 204, 296, 218, 304)
	s.mark(150, 200, 150, 262)
	s.mark(142, 250, 150, 264, 158, 250)
	s.circleMark(204, 262, 56)
	s.tag(text)
}

// drawAirbagLamp is a dial with a lamp that stays on.
func drawAirbagLamp(s *sketch, text string) {
	s.ring(ink, 240, 182, 150, 146)
	s.ring("#3b3a40", 240, 182, 138, 134)
	for a := 140.0; a <= 400; a += 20 {
		x1, y1 := spoke(240, 182, 112, a)
		x2, y2 := spoke(240, 182, 128, a)
		s.path(s.trail(false, []float64{x1, y1, x2, y2}), none, paper, 3)
	}
	x, y := spoke(240, 182, 104, 140)
	s.path(s.trail(false, []float64{240, 182, x, y}), none, "#e0a43a", 5)
	s.ring("#e2542c", 272, 238, 18, 18)
	s.ring(paper, 264, 230, 5, 5)
	s.path(s.trail(false, []float64{264, 236, 270, 250, 282, 250}), none, paper, 4)
	s.circleMark(272, 240, 34)
	s.tag(text)
}
