package rebuild

// Thing is something that jobs share: a lift, a bay, a hired tool.
type Thing struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Name  string `json:"name"`
	Count int    `json:"count"` // how many there are
	From  string `json:"from"`  // ISO date, first day it is there; empty: always was
	To    string `json:"to"`    // ISO date, last day; empty: stays
	Note  string `json:"note"`
}

// ItemKind is part of [Item].
func (t Thing) ItemKind() Kind { return KindThing }

// ItemID is part of [Item].
func (t Thing) ItemID() int64 { return t.ID }

// Revision is part of [Item].
func (t Thing) Revision() int { return t.Rev }

// Label is part of [Item].
func (t Thing) Label() string { return t.Name }

// maxThings bounds how many there are of one thing.
const maxThings = 100

// Validate checks the thing by itself.
func (t Thing) Validate() error {
	var c checks
	c.text(t.Name, "name", "the name", 1, 80)
	c.that(t.Count >= 1 && t.Count <= maxThings, "count", "there must be 1 to %d of it, not %d", maxThings, t.Count)
	c.date(t.From, "from", "the first day it is there", false)
	c.date(t.To, "to", "the last day it is there", false)
	c.that(t.From == "" || t.To == "" || t.From <= t.To, "to", "it is there from %s to %s, which ends before it begins", t.From, t.To)
	c.text(t.Note, "note", "the note", 0, 2000)
	return c.err()
}
