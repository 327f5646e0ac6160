package listen

// seed is a tone that may be the pump's, with how many others began, moved and
// ended with it.
type seed struct {
	path   ridge
	weight float64
}

// How far tones of one machine may begin and end apart, seconds, and how
// differently their pitch may move, steps of the grid.
const (
	togetherS     = 1.0
	togetherSteps = 3
	shortestToneS = 1.0
	mostSeeds     = 24
	leastLikeness = 0.02 // what a group counts however unlike a pump its strongest tone is
)

// seeds gathers tones that sound together; the groups that are strongest and most
// like a pump's run come first. A tone that belongs to a group is no seed of its own.
func (s *sonogram) seeds(tones []ridge) []seed {
	var out []seed
	used := make([]bool, len(tones))
	for i := range tones {
		if i%heedEvery == 0 && s.left() {
			return nil
		}
		if used[i] || float64(len(tones[i].bins))*s.hopS < shortestToneS {
			continue
		}
		group := seed{tones[i], tones[i].weight}
		for j := i + 1; j < len(tones); j++ {
			if !used[j] && s.together(&tones[i], &tones[j]) {
				used[j] = true
				group.weight += tones[j].weight
			}
		}
		run := span{shift: group.path.bins, heard: 1}
		group.weight *= leastLikeness + s.runLikeness(run)
		out = append(out, group)
	}
	return strongest(out, mostSeeds)
}

// together reports whether two tones look like one machine's.
func (s *sonogram) together(a, b *ridge) bool {
	slack := int(togetherS / s.hopS)
	if apart(a.from, b.from) > slack || apart(a.to, b.to) > slack {
		return false
	}
	from, to := max(a.from, b.from), min(a.to, b.to)
	if 2*(to-from) < max(len(a.bins), len(b.bins)) {
		return false
	}
	sum, squares, n := 0.0, 0.0, 0.0
	for f := from; f <= to; f++ {
		d := float64(a.at(f) - b.at(f))
		sum, squares, n = sum+d, squares+d*d, n+1
	}
	return squares/n-(sum/n)*(sum/n) <= togetherSteps*togetherSteps
}

func apart(a, b int) int { return max(a-b, b-a) }

// strongest keeps the n groups of the greatest weight, in that order.
func strongest(all []seed, n int) []seed {
	for i := range min(n, len(all)) {
		best := i
		for j := i + 1; j < len(all); j++ {
			if all[j].weight > all[best].weight {
				best = j
			}
		}
		all[i], all[best] = all[best], all[i]
	}
	return all[:min(n, len(all))]
}
