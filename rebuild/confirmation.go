package rebuild

import (
	"fmt"
	"slices"
	"strings"
)

// Confirmed is what somebody's word stands for.
type Confirmed string

// What is confirmed.
const (
	ConfirmCaution Confirmed = "caution" // the caution for a hazard was read and is worked by
	ConfirmMustDo  Confirmed = "must-do" // something that the law asks for was done
)

// confirmables lists them.
var confirmables = []Confirmed{ConfirmCaution, ConfirmMustDo}

// Confirmation is somebody's word that a caution was read, or that something the
// law asks for was done, for this car.
type Confirmation struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Of   Confirmed `json:"of"`
	Key  string    `json:"key"`  // of the hazard or of what must be done
	Text string    `json:"text"` // what was confirmed, as it was said then
	At   string    `json:"at"`   // RFC 3339
	By   string    `json:"by"`
}

// ItemKind is part of [Item].
func (s Confirmation) ItemKind() Kind { return KindConfirmation }

// ItemID is part of [Item].
func (s Confirmation) ItemID() int64 { return s.ID }

// Revision is part of [Item].
func (s Confirmation) Revision() int { return s.Rev }

// Label is part of [Item].
func (s Confirmation) Label() string { return s.Text }

// Validate checks it by itself.
func (s Confirmation) Validate() error {
	var c checks
	c.oneOf(string(s.Of), "of", "what is confirmed", names(confirmables)...)
	c.text(s.Key, "key", "the key of what is confirmed", 1, 80)
	c.text(s.Text, "text", "what is confirmed", 1, 1000)
	c.moment(s.At, "at", "the moment it was confirmed", true)
	c.text(s.By, "by", "who confirmed it", 1, 80)
	return c.err()
}

// Confirmation is the word given for that, or nil.
func (r *Rebuild) Confirmation(of Confirmed, key string) *Confirmation {
	i := slices.IndexFunc(r.Confirmations, func(s Confirmation) bool { return s.Of == of && s.Key == key })
	if i < 0 {
		return nil
	}
	return &r.Confirmations[i]
}

// Confirm keeps somebody's word; numbers are given here. What was confirmed
// already is left as it stands; there must be one at least that was not.
func (r *Rebuild) Confirm(list ...Confirmation) (Change, error) {
	var c Change
	next := r.nextID()
	for i, s := range list {
		again := slices.ContainsFunc(list[:i], func(o Confirmation) bool { return o.Of == s.Of && o.Key == s.Key })
		if again || r.Confirmation(s.Of, s.Key) != nil {
			continue
		}
		s.ID, s.Rev = next, 0
		if err := s.Validate(); err != nil {
			return Change{}, err
		}
		c.add(s)
		next++
	}
	if len(c.Edits) == 0 {
		return Change{}, &Invalid{[]Problem{{"key", "nothing is ticked that was not confirmed before"}}}
	}
	c.What, c.nextID = confirmedInWords(c.Edits), next
	return c, nil
}

func confirmedInWords(edits []Edit) string {
	var cautions, mustDos []string
	for _, e := range edits {
		s, _ := e.After.(Confirmation)
		if s.Of == ConfirmCaution {
			cautions = append(cautions, short(s.Text))
		} else {
			mustDos = append(mustDos, short(s.Text))
		}
	}
	var said []string
	if len(cautions) > 0 {
		said = append(said, "read the cautions: "+strings.Join(cautions, ", "))
	}
	if len(mustDos) > 0 {
		said = append(said, "confirmed: "+strings.Join(mustDos, "; "))
	}
	return strings.Join(said, "; ")
}

// TakeBackWord takes a confirmation out: it holds no more.
func (r *Rebuild) TakeBackWord(id int64, rev int) (Change, error) {
	old := lookup(r.Confirmations, id)
	if old == nil {
		return Change{}, &Missing{KindConfirmation, id}
	}
	if old.Rev != rev {
		return Change{}, &Conflict{KindConfirmation, id, old.Label(), *old}
	}
	c := Change{What: fmt.Sprintf("took back: %s", short(old.Text))}
	c.remove(*old)
	return c, nil
}
