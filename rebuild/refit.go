package rebuild

import (
	"fmt"
	"slices"
	"strings"
)

// BlockKind is what keeps a thing from going back.
type BlockKind string

// The kinds of block.
const (
	BlockFirst     BlockKind = "first"     // something must go back before it
	BlockJob       BlockKind = "job"       // work that needs it off is not over
	BlockFasteners BlockKind = "fasteners" // new ones have not arrived
	BlockCondition BlockKind = "condition" // it is damaged, missing or to be renewed
)

// Block is one reason why a thing cannot go back yet.
type Block struct {
	Kind BlockKind
	ID   int64  // of the strip item or job that it waits for; 0: none
	Text string // a sentence without its full stop
}

// RefitStep is one thing to put back.
type RefitStep struct {
	Item   *StripItem
	Blocks []Block // empty: it can go back
	// Tighten are the joints to tighten with it: of a joint that holds several
	// things, with the last of them.
	Tighten []*Joint
	Notes   []string // to think of, though it can go back
}

// Refit is a list of what goes back, in order.
type Refit struct {
	Steps []RefitStep
	// Circles are the relations that no order can honour; the order leaves out one
	// relation of each.
	Circles []Circle
	// Open are joints that are not proven, though nothing on the list is held by
	// them: what they hold is back, or was never off.
	Open []*Joint
}

// Trail is everything that came off, in the order it did.
func (r *Rebuild) Trail() []*StripItem {
	trail := those(r.Strip, func(*StripItem) bool { return true })
	slices.SortFunc(trail, func(a, b *StripItem) int { return -laterOff(a, b) })
	return trail
}

// StillOff is what was off the car at that moment (RFC 3339; empty: what is off
// now), in the order it came off. Of what went back and came off again only the
// present time off is known.
func (r *Rebuild) StillOff(at string) []*StripItem {
	return slices.DeleteFunc(r.Trail(), func(s *StripItem) bool {
		if at == "" {
			return !s.Off()
		}
		moment := instant(at)
		back := !s.Off() && !instant(s.BackAt).After(moment)
		return back || instant(s.At).After(moment)
	})
}

// Refit lists all that is still off in the order in which it goes back: each
// thing before those that had to come off before it, and else what came off last
// first.
func (r *Rebuild) Refit() Refit {
	return r.refit(r.StillOff(""), func(*Joint) bool { return true })
}

// RefitOf lists only what is needed for something: the things that are off for
// any of these jobs, these items themselves, and whatever must go back before
// them. Open has the joints that those jobs want tight.
func (r *Rebuild) RefitOf(jobs, items []int64) Refit {
	wanted, first := map[int64]bool{}, r.goFirst()
	for _, s := range r.StillOff("") {
		ofJob := slices.ContainsFunc(s.Jobs, func(id int64) bool { return slices.Contains(jobs, id) })
		if ofJob || slices.Contains(items, s.ID) {
			want(s.ID, wanted, first)
		}
	}
	off := slices.DeleteFunc(r.StillOff(""), func(s *StripItem) bool { return !wanted[s.ID] })
	return r.refit(off, func(j *Joint) bool {
		return slices.ContainsFunc(j.Jobs, func(id int64) bool { return slices.Contains(jobs, id) })
	})
}

// want marks an item and all that must go back before it.
func want(id int64, wanted map[int64]bool, first map[int64][]*StripItem) {
	if wanted[id] {
		return
	}
	wanted[id] = true
	for _, s := range first[id] {
		want(s.ID, wanted, first)
	}
}

// refit orders what is off; open says which joints are listed though nothing on
// the list is held by them.
func (r *Rebuild) refit(off []*StripItem, open func(*Joint) bool) Refit {
	var f Refit
	stands := r.JointStands()
	first := r.goFirst()
	off, f.Circles = refitOrder(off, first)
	listed := map[int64]bool{}
	last := map[int64]int64{} // of each joint, the last item on the list that it holds
	for _, s := range off {
		listed[s.ID] = true
		for _, joint := range s.Joints {
			last[joint] = s.ID
		}
	}
	for _, s := range off {
		step := RefitStep{Item: s, Blocks: r.blocks(*s, first[s.ID]), Notes: append(s.refitNotes(), r.inTheWay(s, first[s.ID])...)}
		for _, id := range s.Joints {
			if j := r.Joint(id); j != nil && last[id] == s.ID && !stands.holdsMore(id, listed) {
				step.Tighten = append(step.Tighten, j)
			}
		}
		f.Steps = append(f.Steps, step)
	}
	held := f.tightened()
	f.Open = slices.DeleteFunc(stands.Open(), func(j *Joint) bool { return held[j.ID] || !open(j) || stands.holdsMore(j.ID, nil) })
	return f
}

func (f Refit) tightened() map[int64]bool {
	held := map[int64]bool{}
	for _, step := range f.Steps {
		for _, j := range step.Tighten {
			held[j.ID] = true
		}
	}
	return held
}

// Ready is the part of the list that can go back now, one after the other: what
// nothing blocks but things that come before it on this list.
func (f Refit) Ready() Refit {
	ready := Refit{Open: f.Open}
	going := map[int64]bool{}
	for _, step := range f.Steps {
		if slices.ContainsFunc(step.Blocks, func(b Block) bool { return b.Kind != BlockFirst || !going[b.ID] }) {
			continue
		}
		going[step.Item.ID] = true
		ready.Steps = append(ready.Steps, step)
	}
	return ready
}

// BlocksOf says what keeps a thing from going back now; nothing where it is back.
func (r *Rebuild) BlocksOf(id int64) []Block {
	s := r.StripItem(id)
	if s == nil || !s.Off() {
		return nil
	}
	return r.blocks(*s, r.goFirst()[id])
}

func (r *Rebuild) blocks(s StripItem, first []*StripItem) []Block {
	var blocks []Block
	for _, other := range first {
		if !slices.Contains(other.After, s.ID) {
			continue // behind something that went back all the same: a note, not a block
		}
		blocks = append(blocks, Block{BlockFirst, other.ID, fmt.Sprintf("%q must go back first: it came off after this", short(other.What))})
	}
	for _, id := range s.Jobs {
		if j := r.Job(id); j != nil && j.Ahead() {
			blocks = append(blocks, Block{BlockJob, id, fmt.Sprintf("the job %q is not done yet", short(j.Title))})
		}
	}
	for _, f := range s.Fasteners {
		if f.OneTime && f.ArrivedOn == "" {
			blocks = append(blocks, Block{BlockFasteners, 0, f.missing()})
		}
	}
	if !s.Settled() {
		blocks = append(blocks, Block{BlockCondition, 0, s.Condition.unsettled()})
	}
	return blocks
}

func (f FastenerSet) missing() string {
	what := f.name()
	if f.Count == 1 {
		return fmt.Sprintf("the new fastener (%s) has not arrived: the old one must not be used again", what)
	}
	return fmt.Sprintf("the %d new fasteners (%s) have not arrived: the old ones must not be used again", f.Count, what)
}

// name is what to call the fasteners.
func (f FastenerSet) name() string {
	switch {
	case f.Thread != "" && f.ToBuy != "":
		return short(f.Thread) + ", " + short(f.ToBuy)
	case f.Thread == "" && f.ToBuy == "":
		return "thread not said"
	}
	return short(f.Thread + f.ToBuy)
}

func (c Condition) unsettled() string {
	switch c {
	case ConditionDamaged:
		return "it is damaged: mend it or get another, and say when that was settled"
	case ConditionMissing:
		return "it is missing: say when it was found or another was there"
	case ConditionOneTime:
		return "it must not be used again, and the new one has not arrived"
	}
	return "it is to be renewed, and the new one has not arrived"
}

func (s *StripItem) refitNotes() []string {
	switch s.Condition {
	case ConditionClean:
		return []string{"clean it first"}
	case "":
		return []string{"nobody has said whether it can be used again"}
	}
	return nil
}

// inTheWay names what is still off behind things that are back, and what had to
// come off before the item and went back since.
func (r *Rebuild) inTheWay(s *StripItem, first []*StripItem) []string {
	var notes []string
	for _, other := range first {
		if !slices.Contains(other.After, s.ID) {
			notes = append(notes, fmt.Sprintf("%q, behind something that is back already, is still off", short(other.What)))
		}
	}
	for _, id := range s.After {
		if other := r.StripItem(id); other != nil && !other.Off() && instant(other.BackAt).After(instant(s.At)) {
			notes = append(notes, fmt.Sprintf("%q had to come off before it and is back already: it may have to come off again", short(other.What)))
		}
	}
	return notes
}

// mayGoBack refuses an item against which something stands.
func (r *Rebuild) mayGoBack(s StripItem) error {
	blocks := r.blocks(s, r.goFirst()[s.ID])
	if len(blocks) == 0 {
		return nil
	}
	texts := make([]string, len(blocks))
	for i, b := range blocks {
		texts[i] = b.Text
	}
	return &Invalid{[]Problem{{"back_anyway", fmt.Sprintf("%q cannot go back yet: %s. Where it went back all the same, say why", short(s.What), strings.Join(texts, "; "))}}}
}
