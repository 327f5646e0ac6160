package rebuild

// JointStands tells how joints stand, where many are asked for: what undid each is
// looked up once for all of them. It holds for the rebuild as it was when it was
// made.
type JointStands struct {
	r       *Rebuild
	undoing map[int64][]*StripItem // by joint, in the order of the book
	knownKm float64
}

// JointStands looks the trail through.
func (r *Rebuild) JointStands() JointStands {
	b := JointStands{r, map[int64][]*StripItem{}, r.KnownKm()}
	for i := range r.Strip {
		for _, joint := range r.Strip[i].Joints {
			b.undoing[joint] = append(b.undoing[joint], &r.Strip[i])
		}
	}
	return b
}

// JointStand works out how the joint stands on that day, as [JointStands.Of].
func (r *Rebuild) JointStand(j Joint, today string) JointStand {
	return JointStands{r, map[int64][]*StripItem{j.ID: r.StripUndoing(j.ID)}, r.KnownKm()}.Of(j, today)
}

// Open lists the joints that are not proven, on whatever day.
func (b JointStands) Open() []*Joint {
	return those(b.r.Joints, func(j *Joint) bool { return !b.Of(*j, "").Proven() })
}

// holdsMore reports whether the joint holds something that is still off, other
// than what is listed.
func (b JointStands) holdsMore(joint int64, listed map[int64]bool) bool {
	for _, s := range b.undoing[joint] {
		if s.Off() && !listed[s.ID] {
			return true
		}
	}
	return false
}
