package demo

// drawWing is a front wing from the side, pushed in at the arch.
func drawWing(s *sketch, text string) {
	s.shape(metal, 60, 150, 130, 110, 300, 96, 420, 120, 424, 250, 360, 252, 330, 196, 270, 162, 206, 170, 168, 210, 156, 262, 70, 250)
	s.line(300, 96, 330, 120, 420, 130)
	s.line(80, 170, 150, 140, 290, 126)
	s.mark(172, 206, 196, 176, 230, 186, 262, 164, 300, 150, 352, 156, 412, 150)
	s.mark(206, 170, 220, 140, 246, 132)
	s.circleMark(240, 164, 62)
	s.line(424, 90, 424, 300)
	s.tag(text)
}

// drawBumper is a bumper skin from the front, split at the left lower mount.
func drawBumper(s *sketch, text string) {
	s.shape(metal, 40, 140, 120, 112, 360, 112, 440, 140, 448, 220, 400, 256, 80, 256, 32, 220)
	s.shape(rubber, 150, 176, 330, 176, 318, 226, 162, 226)
	for x := 176.0; x < 320; x += 24 {
		s.line(x, 180, x-4, 222)
	}
	s.ring(pale, 92, 204, 22, 16)
	s.ring(pale, 388, 204, 22, 16)
	s.mark(404, 254, 396, 232, 410, 222, 400, 200, 414, 186)
	s.circleMark(404, 226, 40)
	s.tag(text)
}

// drawLampBracket is a lamp unit whose upper ears are broken off or back on.
func drawLampBracket(s *sketch, text string) {
	s.shape(metal, 80, 170, 140, 130, 330, 120, 400, 160, 380, 250, 120, 256)
	s.ring("#fffdf6", 190, 194, 42, 40)
	s.ring("#fffdf6", 296, 190, 36, 34)
	s.shape(pale, 150, 128, 156, 92, 190, 90, 192, 126)
	s.shape(pale, 300, 121, 304, 84, 338, 86, 338, 120)
	if text != "" {
		s.path(s.trail(false, []float64{150, 122, 160, 128, 170, 120, 180, 128, 192, 120}), none, green, 5)
		s.path(s.trail(false, []float64{300, 116, 310, 122, 320, 114, 330, 122, 338, 114}), none, green, 5)
	} else {
		s.mark(146, 118, 160, 108, 174, 120, 196, 106)
		s.mark(296, 110, 312, 102, 324, 114, 342, 100)
		s.circleMark(172, 108, 36)
		s.circleMark(320, 102, 36)
	}
	s.tag(text)
}

// drawUndertray is the tray from below with torn fixings.
func drawUndertray(s *sketch, text string) {
	s.shape(rubber, 70, 90, 410, 80, 430, 280, 50, 286)
	for _, y := range []float64{130, 180, 230} {
		s.line(90, y, 395, y-4)
	}
	for i, p := range [][2]float64{{86, 104}, {240, 98}, {396, 98}, {72, 190}, {414, 186}, {66, 270}, {180, 274}, {300, 272}, {412, 266}} {
		s.ring(paper, p[0], p[1], 9, 9)
		if i%2 == 0 && i < 7 {
			s.mark(p[0], p[1], p[0]+18, p[1]+16, p[0]+14, p[1]+34)
			s.circleMark(p[0], p[1], 20)
		}
	}
	s.tag(text)
}

// drawBeam is a crash beam from above, front at the top, the left can crushed.
func drawBeam(s *sketch, text string) {
	s.shape(metal, 50, 130, 240, 100, 430, 130, 430, 164, 240, 136, 50, 164)
	s.box(metal, 340, 160, 56, 96)
	s.shape(metal, 140, 160, 82, 158, 76, 178, 88, 192, 72, 206, 90, 220, 84, 238, 136, 240, 144, 214, 134, 196, 146, 180)
	s.mark(140, 176, 76, 180)
	s.mark(142, 198, 78, 204)
	s.mark(140, 218, 84, 222)
	s.line(64, 258, 160, 258)
	s.line(320, 258, 416, 258)
	s.circleMark(110, 198, 56)
	s.tag(text)
}

// drawDoorGap is the gap between two panels with a feeler in it.
func drawDoorGap(s *sketch, text string) {
	s.shape(metal, 30, 70, 228, 64, 222, 170, 232, 300, 30, 306)
	s.shape(metal, 240, 64, 450, 74, 450, 304, 256, 300, 250, 170)
	s.line(30, 180, 224, 178)
	s.line(254, 178, 450, 184)
	s.shape("#fffdf6", 214, 92, 260, 90, 330, 110, 326, 128, 256, 110, 214, 112)
	s.circleMark(236, 100, 42)
	s.tag(text)
}

// drawChip is a stone chip in the windscreen beside a coin.
func drawChip(s *sketch, text string) {
	s.shape("#dfe9ea", 70, 70, 410, 70, 446, 290, 34, 290)
	s.line(120, 110, 190, 240)
	s.line(150, 110, 210, 220)
	s.ring(rust, 196, 230, 34, 34)
	s.ring("#fffdf6", 320, 222, 11, 10)
	for a := 0.0; a < 360; a += 60 {
		x, y := spoke(320, 222, 20, a)
		s.mark(320, 222, x, y)
	}
	s.circleMark(320, 222, 38)
	s.tag(text)
}

// drawSeat is a seat with a worn outer bolster.
func drawSeat(s *sketch, text string) {
	s.shape(rubber, 170, 60, 290, 60, 306, 210, 160, 210)
	s.shape(rubber, 140, 206, 330, 206, 352, 270, 128, 270)
	s.shape(pale, 190, 76, 270, 76, 280, 200, 182, 200)
	s.shape(pale, 176, 214, 296, 214, 306, 262, 170, 262)
	s.shape(rubber, 200, 26, 260, 26, 266, 58, 194, 58)
	for i := 0.0; i < 5; i++ {
		s.mark(312+4*i, 216+9*i, 326+4*i, 220+9*i)
	}
	s.circleMark(326, 238, 40)
	s.tag(text)
}
