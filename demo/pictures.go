package demo

import "slices"

// pictures are all that a story shows.
func (s story) pictures() []picture {
	var all []picture
	for _, f := range s.Findings {
		all = append(all, f.Photos...)
	}
	for _, j := range s.Jobs {
		for _, m := range j.Moves {
			all = append(all, m.Proofs...)
		}
	}
	for _, d := range s.Road.Drives {
		for _, f := range d.Found {
			all = append(all, f.Photos...)
		}
	}
	for _, o := range s.Strip {
		all = append(all, o.Photos...)
	}
	return slices.Clip(all)
}
