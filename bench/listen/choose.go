package listen

import "slices"

// machine is a sound that comes and goes, with where it does.
type machine struct {
	sig   signature
	spans []span
	like  float64 // a pump, 0 to 1
	worth float64 // evidence, counted by likeness
}

const (
	leastLike        = 0.2  // likeness that a pump needs
	leastWorthNats   = 80.0 // and evidence, counted by likeness
	rounds           = 3    // of learning and looking
	shortestRunS     = 0.8
	weakRun          = 0.15 // of the middle run's evidence, beneath which a stretch is no run
	leastRunNats     = 40.0
	leastFit         = 0.35 // share of the hoped-for evidence that a run must give
	leastAlike       = 0.3  // of the likeness of the run that is most like a pump's
	strangerFit      = 0.5
	strangerLikeness = 0.4
)

// machines follows the seeds, strongest first, passing over those that an earlier
// machine explains, and gives what comes and goes, the likeliest pump first.
func (s *sonogram) machines(seeds []seed) []machine {
	var out []machine
	for _, c := range seeds {
		if s.left() {
			return nil
		}
		if slices.ContainsFunc(out, func(m machine) bool { return s.explains(m, c.path) }) {
			continue
		}
		if m := s.follow(c.path); m.like >= leastLike && m.worth >= leastWorthNats {
			out = append(out, m)
		}
	}
	slices.SortStableFunc(out, func(a, b machine) int {
		switch {
		case a.worth > b.worth:
			return -1
		case a.worth < b.worth:
			return 1
		}
		return 0
	})
	if len(out) == 0 {
		return nil
	}
	out[0] = s.everywhere(out[0])
	others := slices.DeleteFunc(out[1:], func(m machine) bool { return coincide(m, out[0]) })
	return out[:1+len(others)]
}

// coincide reports whether one machine sounds mostly while the other does: then it is part of it.
func coincide(m, whole machine) bool {
	in, n := 0, 0
	for _, p := range m.spans {
		n += len(p.shift)
		for _, q := range whole.spans {
			in += max(0, min(p.to, q.to)-max(p.from, q.from)+1)
		}
	}
	return 2*in > n
}

// explains reports whether a tone lies among the tones of a machine while it sounds.
func (s *sonogram) explains(m machine, r ridge) bool {
	on, n := 0, 0
	for _, p := range m.spans {
		for f := max(p.from, r.from); f <= min(p.to, r.to); f++ {
			n++
			for _, t := range m.sig {
				if apart(t.bin+int(p.shift[f-p.from]), r.at(f)) <= flank(t.bin, s.hopS) {
					on++
					break
				}
			}
		}
	}
	return 2*n > len(r.bins) && 2*on > n
}

// follow learns a machine from one tone and looks for it everywhere, then learns
// it anew from all that was found.
func (s *sonogram) follow(r ridge) machine {
	p := span{from: r.from, to: r.to, shift: make([]int16, len(r.bins)), weight: r.weight}
	zero := r.bins[len(r.bins)/2]
	for i, b := range r.bins {
		p.shift[i] = b - zero
	}
	m := machine{spans: []span{p}}
	for range rounds {
		m.sig = s.learn(m.spans)
		m.spans = s.real(s.match(m.sig, nearPitches))
		if len(m.spans) == 0 {
			return machine{}
		}
		// judged by all that was found, not by what is kept
		m.like, m.worth = s.likeness(m)
		m.spans = s.alike(m.sig, m.spans)
	}
	return m
}

// real drops what is too short, too weak beside the others, or has too few of the tones.
func (s *sonogram) real(all []span) []span {
	if len(all) == 0 {
		return nil
	}
	weights := make([]float64, len(all))
	for i, p := range all {
		weights[i] = p.weight
	}
	least := max(leastRunNats, weakRun*median(weights))
	return slices.DeleteFunc(all, func(p span) bool {
		return p.weight < least || p.fit < leastFit || float64(len(p.shift))*s.hopS < shortestRunS
	})
}

// alike drops what is far less like a pump's run than the others are. A run that
// the recording's ends cut may be short.
func (s *sonogram) alike(sig signature, all []span) []span {
	like, most := make(map[int]float64, len(all)), 0.0
	for _, p := range all {
		like[p.from] = s.runLikeness(p) * s.held(sig, p)
		if p.from <= overlap || p.to >= s.frames-overlap {
			like[p.from] = s.manner(p) * s.held(sig, p)
		}
		most = max(most, like[p.from])
	}
	return slices.DeleteFunc(all, func(p span) bool { return like[p.from] < leastAlike*most })
}

// everywhere looks for runs at other pitches too: a cold fill begins far above the
// rest. What is found only so must be a pump's run by itself.
func (s *sonogram) everywhere(m machine) machine {
	all := s.alike(m.sig, s.real(s.match(m.sig, allPitches)))
	m.spans = slices.DeleteFunc(all, func(p span) bool {
		known := slices.ContainsFunc(m.spans, func(q span) bool { return p.from <= q.to && q.from <= p.to })
		return !known && (s.runLikeness(p) < strangerLikeness || p.fit < strangerFit)
	})
	return m
}
