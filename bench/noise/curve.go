package noise

// draw keeps the spectra and where the bearing's lines are expected.
func (r *Result) draw(v view, f finding, list []family, slip, speed float64) {
	r.RefHz = speed
	r.Sound = curveOf(v.plain)
	for j, band := range v.bands {
		if band != f.winner.band {
			continue
		}
		r.Envelope = curveOf(v.spectra[j])
		for _, fam := range list {
			r.Expected = append(r.Expected, fam.marks(v.spectra[j], slip, speed)...)
		}
		break
	}
}

func curveOf(s spectrum) Curve {
	c := Curve{StepHz: s.step, Amp: s.amp, Floor: make([]float64, len(s.amp))}
	for k := 1; k < len(c.Floor); k++ {
		c.Floor[k] = s.noise(float64(k) * s.step)
	}
	if len(c.Floor) > 1 {
		c.Floor[0] = c.Floor[1]
	}
	return c
}

// marks are the first lines of a family.
func (f family) marks(s spectrum, slip, speed float64) []Mark {
	var list []Mark
	for k := range f.lines {
		m := Mark{Name: f.name, Harmonic: k + 1, Hz: f.hz * float64(k+1)}
		if m.Hz > s.topHz() {
			break
		}
		l := s.strongest(m.Hz, slip, speed)
		if m.Ratio = l.ratio; l.ratio >= listedRatio {
			m.Hz, m.Found = l.hz, true
		}
		m.Order = m.Hz / speed
		list = append(list, m)
	}
	return list
}
