package web

import (
	"net/http"
	"strconv"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// stripItemPage is one thing that came off: how it sat, what keeps it off, and
// the forms to change it.
type stripItemPage struct {
	Frame
	Item     stripLine
	Photos   []markedPhoto
	Blocks   blockList
	NotAgain bool // a one-time part stands against it: no reason helps
	First    []stripLine
	Then     []stripLine // what came off after it
	Jobs     []*rebuild.Job
	Joints   []heldJoint
	Cautions []knowledge.Caution
	Ordered  string // the thing itself, ISO date

	Form    *Form  // the form that was refused, empty otherwise
	Refused string // which: "edit", "marks", "back", "more"
	Entry   stripForm
	Had     []rebuild.Attachment // the photos that the form is about
}

func (s *Server) stripItemShow(w http.ResponseWriter, r *http.Request) error {
	rb, item, err := s.stripOf(r)
	if err != nil {
		return err
	}
	return s.stripItemForm(w, r, http.StatusOK, rb, item, &Form{}, "", item.Photos)
}

// stripOf finds the thing that the address names.
func (s *Server) stripOf(r *http.Request) (*rebuild.Rebuild, *rebuild.StripItem, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	id, err := pathNumber(r, "item")
	if err != nil {
		return nil, nil, err
	}
	item := rb.StripItem(id)
	if item == nil {
		return nil, nil, &rebuild.Missing{Kind: rebuild.KindStripItem, ID: id}
	}
	return rb, item, nil
}

func (s *Server) stripItemForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, item *rebuild.StripItem, f *Form, refused string, photos []rebuild.Attachment) error {
	frame, err := s.frame(r, item.What, "strip", rb)
	if err != nil {
		return err
	}
	base, numbers := frame.Base(), stripNumbers(rb)
	page := stripItemPage{
		Frame: frame, Item: newStripLine(base, numbers[item.ID], item), Form: f, Refused: refused, Had: photos,
		Cautions: knowledge.CautionsAt(item.Zone, ""), Ordered: workshop.OrderedOn(item.Note),
		Blocks: newBlockList(base, rb, numbers, rb.BlocksOf(item.ID)), NotAgain: workshop.NotAgain(rb, item) != "",
	}
	marks := &Form{}
	if refused == "marks" {
		marks = f
	}
	page.Photos = markedPhotos(item, marks)
	edit := f
	if refused != "edit" {
		edit = &Form{}
		edit.setStripItem(item)
	}
	page.Entry = newStripForm(rb, edit, item.ID)
	page.gather(rb)
	return s.show(w, status, "strip_item", page)
}

// gather collects what the thing names and what names it.
func (p *stripItemPage) gather(rb *rebuild.Rebuild) {
	var first, then []*rebuild.StripItem
	for _, id := range p.Item.After {
		if other := rb.StripItem(id); other != nil {
			first = append(first, other)
		}
	}
	for i := range rb.Strip {
		for _, id := range rb.Strip[i].After {
			if id == p.Item.ID {
				then = append(then, &rb.Strip[i])
			}
		}
	}
	p.First, p.Then = linesOf(p.Base(), rb, first), linesOf(p.Base(), rb, then)
	for _, id := range p.Item.Jobs {
		if j := rb.Job(id); j != nil {
			p.Jobs = append(p.Jobs, j)
		}
	}
	for _, id := range p.Item.Joints {
		if j := rb.Joint(id); j != nil {
			p.Joints = append(p.Joints, newHeldJoint(p.Frame, rb, j))
		}
	}
}

// BackForm is the form of putting it back, as typed where it was refused.
func (p stripItemPage) BackForm() *Form {
	if p.Refused == "back" {
		return p.Form
	}
	f := &Form{}
	f.Set("by", p.Who)
	return f
}

// heldJoint is a joint with how it stands.
type heldJoint struct {
	*rebuild.Joint
	Stand rebuild.JointStand
	Href  string
}

func newHeldJoint(f Frame, rb *rebuild.Rebuild, j *rebuild.Joint) heldJoint {
	return heldJoint{j, rb.JointStand(*j, f.Today), f.Base() + "/joints/" + strconv.FormatInt(j.ID, 10)}
}

// Torque says what it is tightened to.
func (l heldJoint) Torque() string {
	if l.TorqueNm == 0 {
		return "torque not known"
	}
	text := trimNumber(l.TorqueNm) + "\u00a0N·m"
	if l.AngleDeg > 0 {
		text += " + " + trimNumber(l.AngleDeg) + "°"
	}
	return text
}

// blockList is what keeps a thing from going back: what must go back first, and
// all other reasons.
type blockList struct {
	First []stripLine
	Other []blockLine
}

// Any reports whether something stands against it.
func (b blockList) Any() bool { return len(b.First)+len(b.Other) > 0 }

// blockLine is one reason against going back, with where to settle it.
type blockLine struct {
	rebuild.Block
	Href string
}

func newBlockList(base string, rb *rebuild.Rebuild, numbers map[int64]int, blocks []rebuild.Block) blockList {
	var list blockList
	for _, b := range blocks {
		switch b.Kind {
		case rebuild.BlockFirst:
			list.First = append(list.First, newStripLine(base, numbers[b.ID], rb.StripItem(b.ID)))
		case rebuild.BlockJob:
			list.Other = append(list.Other, blockLine{b, base + "/jobs/" + strconv.FormatInt(b.ID, 10)})
		default:
			list.Other = append(list.Other, blockLine{Block: b})
		}
	}
	return list
}

// SettleLabel is what the tap says by which what goes back is there.
func (p stripItemPage) SettleLabel() string {
	switch p.Item.Condition {
	case rebuild.ConditionDamaged:
		return "Mended"
	case rebuild.ConditionMissing:
		return "Found, or another is here"
	}
	return "The new one is here"
}
