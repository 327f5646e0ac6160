package rebuild

import (
	"cmp"
	"slices"
	"strings"
)

// LeftOver is what a car that is together again must not have: things still off,
// fasteners in their bags, connectors not made, joints not proven.
type LeftOver struct {
	Off        []*StripItem
	Bags       []LeftFasteners
	Connectors []LeftConnector
	Joints     []*Joint
	// Fasteners is how many bolts, nuts and clips there are in Bags.
	Fasteners int
}

// LeftFasteners are those of one set that are not back on the car.
type LeftFasteners struct {
	Item  *StripItem
	Place int // in the item's Fasteners, from 0
	Set   FastenerSet
}

// LeftConnector is one that was not made again.
type LeftConnector struct {
	Item  *StripItem
	Place int // in the item's Connectors, from 0
	Name  string
}

// Nothing reports that all is back, made and tight.
func (l LeftOver) Nothing() bool {
	return len(l.Off)+len(l.Bags)+len(l.Connectors)+len(l.Joints) == 0
}

// LeftOver looks for it in the whole trail and all joints.
func (r *Rebuild) LeftOver() LeftOver {
	l := LeftOver{Off: r.StillOff("")}
	for _, s := range r.Trail() {
		for i, f := range s.Fasteners {
			if !f.Emptied {
				l.Bags = append(l.Bags, LeftFasteners{s, i, f})
				l.Fasteners += f.Count
			}
		}
		for i, k := range s.Connectors {
			if !k.Made {
				l.Connectors = append(l.Connectors, LeftConnector{s, i, k.Name})
			}
		}
	}
	l.Joints = r.JointStands().Open()
	return l
}

// ToolNeed is a spanner or socket and what it is for.
type ToolNeed struct {
	Tool string
	For  []*StripItem
}

// Tools gathers what the fasteners on the list ask for, each once, small sizes
// first.
func (f Refit) Tools() []ToolNeed {
	var needs []ToolNeed
	at := map[string]int{}
	for _, step := range f.Steps {
		for _, set := range step.Item.Fasteners {
			key := plainKey(set.Tool)
			if key == "" {
				continue
			}
			i, known := at[key]
			if !known {
				i = len(needs)
				at[key] = i
				needs = append(needs, ToolNeed{Tool: strings.TrimSpace(set.Tool)})
			}
			if !slices.Contains(needs[i].For, step.Item) {
				needs[i].For = append(needs[i].For, step.Item)
			}
		}
	}
	slices.SortStableFunc(needs, func(a, b ToolNeed) int { return bySize(a.Tool, b.Tool) })
	return needs
}

// Joints gathers the joints to tighten with the list, the open ones after them.
func (f Refit) Joints() []*Joint {
	var joints []*Joint
	for _, step := range f.Steps {
		joints = append(joints, step.Tighten...)
	}
	return append(joints, f.Open...)
}

// ToolsFor lists the tools that can tighten the joint on that day (ISO date):
// those with its torque in their range and in calibration.
func (r *Rebuild) ToolsFor(j Joint, today string) []*Tool {
	return those(r.Tools, func(t *Tool) bool { return j.TorqueNm > 0 && t.Reaches(j.TorqueNm) && t.InCalibration(today) })
}

// ToBuy is a line of the list of what is to be bought before things can go back.
type ToBuy struct {
	What   string // what to ask for; empty: only the thread is known
	Thread string // of fasteners; empty: not said, or it is no fastener
	Count  int
	Part   bool // a thing that came off, rather than its fasteners
	Items  []*StripItem
	Joints []*Joint
}

// ToBuy lists what is still off and cannot be used again, with nothing new there
// yet: one-time fasteners with their counts by thread, those of joints which no
// strip item lists, and parts.
func (r *Rebuild) ToBuy() []ToBuy {
	var list buying
	for _, s := range r.StillOff("") {
		for _, f := range s.Fasteners {
			if f.OneTime && f.ArrivedOn == "" {
				list.add(ToBuy{What: f.ToBuy, Thread: f.Thread, Count: f.Count, Items: []*StripItem{s}})
			}
		}
		if !s.Settled() && s.Condition != ConditionDamaged {
			list.add(ToBuy{What: s.What, Count: 1, Part: true, Items: []*StripItem{s}})
		}
	}
	stands := r.JointStands()
	for i := range r.Joints {
		if j := &r.Joints[i]; stands.wantsNewFasteners(j) {
			list.add(ToBuy{Thread: j.Thread, Count: j.Count, Joints: []*Joint{j}})
		}
	}
	slices.SortStableFunc(list, func(a, b ToBuy) int {
		return cmp.Or(bySize(a.Thread, b.Thread), bySize(a.What, b.What))
	})
	return list
}

// wantsNewFasteners reports whether a joint needs new fasteners that are on no
// strip item's list.
func (b JointStands) wantsNewFasteners(j *Joint) bool {
	if !j.OneTime || b.Of(*j, "").Proven() {
		return false
	}
	undoneAt, _ := b.lastUndone(*j)
	if slices.ContainsFunc(tighteningsAfter(*j, undoneAt), func(t Tightening) bool { return t.Renewed }) {
		return false
	}
	return !slices.ContainsFunc(b.undoing[j.ID], func(s *StripItem) bool {
		return s.Off() && slices.ContainsFunc(s.Fasteners, func(f FastenerSet) bool { return f.OneTime })
	})
}

type buying []ToBuy

// add puts equal things on one line.
func (b *buying) add(n ToBuy) {
	for i := range *b {
		line := &(*b)[i]
		if line.Part == n.Part && plainKey(line.What) == plainKey(n.What) && plainKey(line.Thread) == plainKey(n.Thread) {
			line.Count += n.Count
			line.Items, line.Joints = append(line.Items, n.Items...), append(line.Joints, n.Joints...)
			return
		}
	}
	*b = append(*b, n)
}

// plainKey is a text as far as it tells things apart: "M8 x 1.25" is "m8x1.25".
func plainKey(s string) string {
	return strings.ToLower(strings.Join(strings.Fields(s), ""))
}

// bySize orders texts with the numbers in them as numbers: "8 mm" before "10 mm".
func bySize(a, b string) int {
	a, b = plainKey(a), plainKey(b)
	for a != "" && b != "" {
		x, restA := chunk(a)
		y, restB := chunk(b)
		if c := compareChunks(x, y); c != 0 {
			return c
		}
		a, b = restA, restB
	}
	return cmp.Compare(len(a), len(b))
}

// chunk cuts off a run of digits, or of anything else.
func chunk(s string) (first, rest string) {
	digits := isDigit(rune(s[0]))
	end := strings.IndexFunc(s, func(r rune) bool { return isDigit(r) != digits })
	if end < 0 {
		end = len(s)
	}
	return s[:end], s[end:]
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func compareChunks(x, y string) int {
	if isDigit(rune(x[0])) && isDigit(rune(y[0])) {
		x, y = strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0")
		return cmp.Or(cmp.Compare(len(x), len(y)), strings.Compare(x, y))
	}
	return strings.Compare(x, y)
}
