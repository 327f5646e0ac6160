package rebuild

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// AddStripItems enters one or more things that came off as one change; their
// numbers and revisions are given here. A joint that is undone by it is open
// again, and a safety-critical job that leaned on it is set back from proven to
// done.
func (r *Rebuild) AddStripItems(items ...StripItem) (Change, error) {
	if len(items) == 0 {
		return Change{}, &Invalid{[]Problem{{"what", "there is nothing that came off"}}}
	}
	c := Change{What: fmt.Sprintf("took off %d things", len(items)), nextID: r.nextID()}
	for i, s := range items {
		s.ID, s.Rev = c.nextID, 0
		c.nextID++
		if err := r.checkStripItem(s); err != nil {
			if len(items) > 1 {
				return Change{}, fmt.Errorf("thing %d: %w", i+1, err)
			}
			return Change{}, err
		}
		c.add(s)
	}
	if len(items) == 1 {
		c.What = fmt.Sprintf("took off %q", short(items[0].What))
	}
	return r.withJobsSetBack(c)
}

// AddStripItem enters a thing that came off.
func (r *Rebuild) AddStripItem(s StripItem) (Change, error) { return r.AddStripItems(s) }

// mostMore is how many copies one tap may make.
const mostMore = 50

// MoreLike enters n more things like one that is there, as one change, taken off
// at that moment (RFC 3339). They have its fasteners, connectors, condition and
// what it names, bags of their own, and no photos.
func (r *Rebuild) MoreLike(id int64, n int, at string) (Change, error) {
	like := r.StripItem(id)
	if like == nil {
		return Change{}, &Missing{KindStripItem, id}
	}
	if n < 1 || n > mostMore {
		return Change{}, &Invalid{[]Problem{{"n", fmt.Sprintf("between 1 and %d more can be entered at once, not %d", mostMore, n)}}}
	}
	items := make([]StripItem, n)
	bags := r.bags()
	for i := range items {
		items[i] = like.copied(at, bags)
		items[i].What = r.numbered(like.What, i)
	}
	c, err := r.AddStripItems(items...)
	if err == nil {
		after := strings.TrimPrefix(c.What, fmt.Sprintf("took off %d things", n))
		if n == 1 {
			after = strings.TrimPrefix(c.What, fmt.Sprintf("took off %q", short(items[0].What)))
		}
		c.What = fmt.Sprintf("took off %d more like %q", n, short(like.What)) + after
	}
	return c, err
}

// copied is one more of the same, just taken off, its bags named anew unless bags
// is nil.
func (s *StripItem) copied(at string, bags map[string]bool) StripItem {
	more := *s
	more.At, more.Photos, more.Marks, more.SettledOn = at, nil, nil, ""
	more.BackAt, more.BackBy, more.BackAnyway = "", "", ""
	more.Fasteners, more.Connectors = slices.Clone(s.Fasteners), slices.Clone(s.Connectors)
	own := map[string]string{}
	for i := range more.Fasteners {
		f := &more.Fasteners[i]
		f.Emptied, f.ArrivedOn = false, ""
		if f.Bag == "" || bags == nil {
			continue
		}
		if own[f.Bag] == "" {
			own[f.Bag] = nextBag(bags)
			bags[own[f.Bag]] = true
		}
		f.Bag = own[f.Bag]
	}
	for i := range more.Connectors {
		more.Connectors[i].Made = false
	}
	return more
}

// numbered is the name of the i-th copy, from 0, of something: "clip (2)", and so
// on, above the numbers that are there.
func (r *Rebuild) numbered(what string, i int) string {
	stem, most := what, 1
	if base, n, ok := cutNumber(what); ok {
		stem, most = base, n
	}
	for k := range r.Strip {
		if base, n, ok := cutNumber(r.Strip[k].What); ok && base == stem {
			most = max(most, n)
		}
	}
	return fmt.Sprintf("%s (%d)", stem, most+1+i)
}

func cutNumber(what string) (stem string, n int, ok bool) {
	open := strings.LastIndex(what, " (")
	if open < 1 || !strings.HasSuffix(what, ")") {
		return what, 0, false
	}
	n, err := strconv.Atoi(what[open+2 : len(what)-1])
	return what[:open], n, err == nil && n > 0 && n < 1_000_000
}

// NextBag is a short code that no bag has yet: "B1", "B2" and so on.
func (r *Rebuild) NextBag() string { return nextBag(r.bags()) }

func (r *Rebuild) bags() map[string]bool {
	taken := map[string]bool{}
	for i := range r.Strip {
		for _, f := range r.Strip[i].Fasteners {
			taken[strings.ToUpper(f.Bag)] = true
		}
	}
	return taken
}

func nextBag(taken map[string]bool) string {
	for n := 1; ; n++ {
		if code := fmt.Sprintf("B%d", n); !taken[code] {
			return code
		}
	}
}

// EditStripItem replaces a thing that came off. s.Rev is the revision the form
// was opened with. Where it goes back by this edit although something stands
// against it, s.BackAnyway must say why.
func (r *Rebuild) EditStripItem(s StripItem) (Change, error) {
	old := r.StripItem(s.ID)
	if old == nil {
		return Change{}, &Conflict{Kind: KindStripItem, ID: s.ID, Label: s.What}
	}
	if err := fresh(*old, s); err != nil {
		return Change{}, err
	}
	if err := r.checkStripItem(s); err != nil {
		return Change{}, err
	}
	if old.Off() && !s.Off() && s.BackAnyway == "" {
		if err := r.mayGoBack(s); err != nil {
			return Change{}, err
		}
	}
	return r.withJobsSetBack(changed(stripInWords(*old, s), *old, s))
}

// PutBack says that a thing went back on the car at that moment; anyway is why,
// where something stands against it.
func (r *Rebuild) PutBack(id int64, rev int, at, by, anyway string) (Change, error) {
	old, err := r.stripItemAt(id, rev)
	if err != nil {
		return Change{}, err
	}
	if !old.Off() {
		return Change{}, &Invalid{[]Problem{{"back_at", fmt.Sprintf("%q is back already, since %s", short(old.What), day(old.BackAt))}}}
	}
	if at == "" {
		return Change{}, &Invalid{[]Problem{{"back_at", "the moment it went back is missing"}}}
	}
	s := *old
	s.BackAt, s.BackBy, s.BackAnyway = at, by, anyway
	return r.EditStripItem(s)
}

// OffAgain says that a thing which was back came off once more at that moment. It
// keeps its place in the trail, so that what came off after it still goes back
// before it; its joints are undone anew, its fasteners and connectors open, and
// what is never used twice is to be renewed again.
func (r *Rebuild) OffAgain(id int64, rev int, at string) (Change, error) {
	old, err := r.stripItemAt(id, rev)
	if err != nil {
		return Change{}, err
	}
	if old.Off() {
		return Change{}, &Invalid{[]Problem{{"at", fmt.Sprintf("%q is off already, since %s", short(old.What), day(old.At))}}}
	}
	var c checks
	c.moment(at, "at", "the moment it came off again", true)
	c.that(len(c.problems) > 0 || !instant(at).Before(instant(old.BackAt)), "at", "it cannot have come off again on %s, before it went back on %s", day(at), day(old.BackAt))
	if err := c.err(); err != nil {
		return Change{}, err
	}
	s := old.copied(old.At, nil)
	s.What, s.Photos, s.Marks = old.What, old.Photos, old.Marks
	if old.Condition != ConditionOneTime {
		s.SettledOn = old.SettledOn
	}
	change := changed(fmt.Sprintf("took off %q again", short(s.What)), *old, s)
	for _, joint := range s.Joints {
		j := *r.Joint(joint)
		j.Undone = append(slices.Clone(j.Undone), Undoing{at, fmt.Sprintf("%q came off again", short(s.What))})
		if err := r.checkJoint(j); err != nil {
			return Change{}, err
		}
		change.edit(*r.Joint(joint), withRevision(j, j.Rev+1))
	}
	return r.withJobsSetBack(change)
}

func stripInWords(before, after StripItem) string {
	what := short(after.What)
	emptied, made := before.closed()
	emptiedNow, madeNow := after.closed()
	switch {
	case before.Off() && !after.Off():
		return fmt.Sprintf("put back %q", what)
	case !before.Off() && after.Off():
		return fmt.Sprintf("said that %q is still off", what)
	case emptiedNow > emptied:
		return fmt.Sprintf("put fasteners of %q back on the car", what)
	case madeNow > made:
		return fmt.Sprintf("made connectors of %q again", what)
	}
	return fmt.Sprintf("changed what was written of %q, which came off", what)
}

// closed counts the sets of fasteners that are back on the car and the connectors
// that are made.
func (s *StripItem) closed() (emptied, made int) {
	for _, f := range s.Fasteners {
		if f.Emptied {
			emptied++
		}
	}
	for _, k := range s.Connectors {
		if k.Made {
			made++
		}
	}
	return emptied, made
}

func (r *Rebuild) stripItemAt(id int64, rev int) (*StripItem, error) {
	old := r.StripItem(id)
	if old == nil {
		return nil, &Missing{KindStripItem, id}
	}
	if old.Rev != rev {
		return nil, &Conflict{KindStripItem, id, old.What, *old}
	}
	return old, nil
}

// DeleteStripItem takes an entry out of the trail, and out of those that came off
// after it. Of a thing that is back its joints keep that they were undone, or a
// tightening from before would prove them again.
func (r *Rebuild) DeleteStripItem(id int64, rev int) (Change, error) {
	old, err := r.stripItemAt(id, rev)
	if err != nil {
		return Change{}, err
	}
	c := Change{What: fmt.Sprintf("deleted %q, which came off", short(old.What))}
	r.loosen(&c, KindStripItem, id)
	if !old.Off() {
		if err := r.keepUndone(&c, *old); err != nil {
			return Change{}, err
		}
	}
	c.remove(*old)
	return r.withJobsSetBack(c)
}

// keepUndone enters with its joints that they were undone by a thing whose entry
// goes.
func (r *Rebuild) keepUndone(c *Change, s StripItem) error {
	for _, joint := range s.Joints {
		old := r.Joint(joint)
		if old == nil {
			continue
		}
		j := *old
		j.Undone = append(slices.Clone(j.Undone), Undoing{s.At, fmt.Sprintf("%q came off; its entry was deleted", short(s.What))})
		if err := r.checkJoint(j); err != nil {
			return err
		}
		c.edit(*old, withRevision(j, j.Rev+1))
	}
	return nil
}

// checkStripItem checks an item against what it names, and that it closes no
// circle of things that had to come off before each other.
func (r *Rebuild) checkStripItem(s StripItem) error {
	if err := s.Validate(); err != nil {
		return err
	}
	for _, id := range s.After {
		if r.StripItem(id) == nil {
			return &Invalid{[]Problem{{"after", fmt.Sprintf("entry %d of the strip trail is not there any more", id)}}}
		}
	}
	for _, id := range s.Joints {
		if r.Joint(id) == nil {
			return &Invalid{[]Problem{{"joints", fmt.Sprintf("joint %d is not there any more", id)}}}
		}
	}
	if err := r.knownJobs(s.Jobs); err != nil {
		return err
	}
	if chain := r.circleThrough(s); chain != nil {
		return &Invalid{[]Problem{{"after", "that is a circle: " + chain.String()}}}
	}
	return nil
}

func (r *Rebuild) knownJobs(jobs []int64) error {
	for _, id := range jobs {
		if r.Job(id) == nil {
			return &Invalid{[]Problem{{"jobs", fmt.Sprintf("job %d is not there any more", id)}}}
		}
	}
	return nil
}
