package demo

// drawArm is a lower arm with a straight edge laid along it.
func drawArm(s *sketch, text string) {
	s.shape(metal, 60, 238, 96, 214, 190, 206, 262, 170, 356, 126, 404, 108, 424, 132, 372, 160, 280, 206, 204, 246, 96, 264)
	s.ring(rubber, 78, 240, 28, 28)
	s.ring(metal, 78, 240, 11, 11)
	s.ring(rubber, 414, 120, 24, 24)
	s.shape("#fffdf6", 60, 196, 410, 76, 416, 90, 66, 210)
	for i := 0.0; i < 16; i++ {
		s.line(80+i*21, 191-i*7.2, 83+i*21, 199-i*7.2)
	}
	s.mark(200, 206, 236, 192, 270, 168)
	s.circleMark(232, 196, 46)
	s.tag(text)
}

// drawUpright is an upright with its steering arm to the left.
func drawUpright(s *sketch, text string) {
	s.shape(metal, 220, 60, 262, 60, 276, 120, 300, 150, 300, 216, 276, 244, 270, 300, 228, 304, 214, 250, 190, 226, 110, 214, 106, 186, 186, 180, 206, 130)
	s.ring(pale, 246, 182, 42, 42)
	s.ring(ink, 246, 182, 16, 16)
	s.ring(paper, 124, 200, 9, 9)
	s.ring(paper, 241, 76, 9, 9)
	s.ring(paper, 249, 288, 9, 9)
	if text == "" {
		s.mark(150, 188, 172, 206)
		s.mark(158, 186, 180, 204)
		s.circleMark(164, 196, 36)
	}
	s.tag(text)
}

// drawWheel is a wheel from outside, bent or scraped at the rim.
func drawWheel(s *sketch, text string) {
	s.ring(metal, 220, 182, 138, 138)
	s.ring(pale, 220, 182, 120, 120)
	for a := -90.0; a < 270; a += 72 {
		x1, y1 := spoke(220, 182, 34, a-20)
		x2, y2 := spoke(220, 182, 116, a-7)
		x3, y3 := spoke(220, 182, 116, a+7)
		x4, y4 := spoke(220, 182, 34, a+20)
		s.shape(metal, x1, y1, x2, y2, x3, y3, x4, y4)
	}
	s.ring(metal, 220, 182, 36, 36)
	if text == "rash" {
		for a := 20.0; a < 100; a += 7 {
			x1, y1 := spoke(220, 182, 126, a)
			x2, y2 := spoke(220, 182, 138, a+5)
			s.mark(x1, y1, x2, y2)
		}
	} else {
		x1, y1 := spoke(220, 182, 136, 30)
		x2, y2 := spoke(220, 182, 124, 48)
		x3, y3 := spoke(220, 182, 137, 68)
		s.mark(x1, y1, x2, y2, x3, y3)
	}
	x, y := spoke(220, 182, 130, 52)
	s.circleMark(x, y, 46)
	s.tag(text)
}

// drawTyre is a tyre at an angle with a cut side wall.
func drawTyre(s *sketch, text string) {
	s.ring(rubber, 230, 182, 150, 146)
	s.ring("#8c8a8c", 230, 182, 128, 124)
	s.ring(metal, 230, 182, 86, 84)
	s.ring(paper, 230, 182, 74, 72)
	for a := 0.0; a < 360; a += 12 {
		x1, y1 := spoke(230, 182, 132, a)
		x2, y2 := spoke(230, 182, 146, a+4)
		s.line(x1, y1, x2, y2)
	}
	s.mark(300, 246, 316, 250, 322, 268)
	s.mark(292, 262, 312, 262, 318, 276)
	s.circleMark(308, 260, 38)
	s.tag(text)
}

// drawDisc is a brake disc with a micrometer at its edge.
func drawDisc(s *sketch, text string) {
	s.ring(metal, 200, 190, 128, 128)
	s.ring(pale, 200, 190, 118, 118)
	s.ring(metal, 200, 190, 56, 56)
	s.ring(paper, 200, 190, 26, 26)
	for a := 0.0; a < 360; a += 72 {
		x, y := spoke(200, 190, 42, a)
		s.ring(ink, x, y, 4, 4)
	}
	s.shape("#fffdf6", 296, 150, 350, 136, 384, 170, 384, 214, 350, 246, 296, 232, 296, 218, 340, 226, 364, 206, 364, 178, 342, 156, 296, 166)
	s.box(metal, 384, 180, 66, 24)
	s.tag(text)
}

// drawDamper is a damper with a damp film below its seal.
func drawDamper(s *sketch, text string) {
	s.box(metal, 222, 40, 22, 110)
	s.box(rubber, 206, 150, 54, 138)
	s.ring(rubber, 233, 304, 20, 18)
	s.ring(metal, 233, 34, 18, 14)
	for y := 60.0; y < 250; y += 36 {
		s.line(170, y+16, 296, y)
		s.line(296, y, 302, y+10, 174, y+26)
	}
	s.path(s.trail(true, []float64{208, 156, 258, 156, 252, 214, 244, 190, 234, 226, 224, 186, 214, 206}), rust, hurt, 2)
	s.circleMark(233, 184, 50)
	s.tag(text)
}

// drawTape is a steel tape between two points on the shell.
func drawTape(s *sketch, text string) {
	s.shape(metal, 40, 250, 110, 120, 370, 120, 440, 250, 410, 262, 340, 150, 140, 150, 70, 262)
	s.shape("#e9cf7a", 84, 236, 356, 136, 360, 146, 88, 248)
	for i := 0.0; i < 18; i++ {
		s.line(94+i*14.6, 234-i*5.4, 96+i*14.6, 240-i*5.4)
	}
	s.ring(hurt, 84, 242, 9, 9)
	s.ring(hurt, 360, 140, 9, 9)
	s.tag(text)
}
