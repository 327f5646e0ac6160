package rebuild

import (
	"fmt"
	"math"
	"slices"
)

// ItemResult is what came of looking at one item of an inspection.
type ItemResult string

// The results. Nothing kept for an item means that it was not looked at.
const (
	ItemPass     ItemResult = "pass"
	ItemAdvisory ItemResult = "advisory" // passes, but is near its end
	ItemFail     ItemResult = "fail"
	// ItemNone is of an item that is not for this car: the gases of an engine that has
	// none. An official test finds no such thing.
	ItemNone ItemResult = "does not apply"
)

// ItemResults lists those of a rehearsal.
var ItemResults = []ItemResult{ItemPass, ItemAdvisory, ItemFail, ItemNone}

// FoundResults lists those of an official test.
var FoundResults = []ItemResult{ItemPass, ItemAdvisory, ItemFail}

// Rehearsed is what came of looking at one item before the official test does.
type Rehearsed struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Key    string     `json:"key"` // of the item in its list
	Result ItemResult `json:"result"`
	// Value is what was read where the item has a figure, in the item's unit; nil: none.
	Value *float64 `json:"value"`
	// EvidenceID is the measurement behind it; 0: none.
	EvidenceID int64  `json:"evidence"`
	At         string `json:"at"` // RFC 3339
	By         string `json:"by"`
	Note       string `json:"note"`
}

// ItemKind is part of [Item].
func (i Rehearsed) ItemKind() Kind { return KindRehearsed }

// ItemID is part of [Item].
func (i Rehearsed) ItemID() int64 { return i.ID }

// Revision is part of [Item].
func (i Rehearsed) Revision() int { return i.Rev }

// Label is part of [Item].
func (i Rehearsed) Label() string { return i.Key }

// Validate checks it by itself. Whether the key is in the list of the
// jurisdiction is for those who know the lists.
func (i Rehearsed) Validate() error {
	var c checks
	c.text(i.Key, "key", "which item", 1, 60)
	c.oneOf(string(i.Result), "result", "the result", names(ItemResults)...)
	c.that(i.Value == nil || !math.IsNaN(*i.Value) && !math.IsInf(*i.Value, 0), "value", "the value is no number")
	c.that(i.EvidenceID >= 0, "evidence", "there is no measurement %d", i.EvidenceID)
	c.moment(i.At, "at", "the moment it was looked at", true)
	c.text(i.By, "by", "who looked at it", 1, 80)
	c.text(i.Note, "note", "the note", 0, 1000)
	return c.err()
}

// RehearsedItem is what is kept for the item with that key, or nil: not looked at.
func (r *Rebuild) RehearsedItem(key string) *Rehearsed {
	i := slices.IndexFunc(r.Rehearsal, func(h Rehearsed) bool { return h.Key == key })
	if i < 0 {
		return nil
	}
	return &r.Rehearsal[i]
}

// Rehearse keeps what came of looking at an item, in place of what was kept for
// it. i.Rev is the revision that the page showed; of an item that was not looked
// at it is 0. name is the item in words, for the journal.
func (r *Rebuild) Rehearse(i Rehearsed, name string) (Change, error) {
	old := r.RehearsedItem(i.Key)
	if err := r.checkRehearsed(i); err != nil {
		return Change{}, err
	}
	what := fmt.Sprintf("looked at %q for the inspection: %s", short(name), i.Result)
	if old == nil {
		i.ID, i.Rev = r.nextID(), 0
		c := Change{What: what, nextID: i.ID + 1}
		c.add(i)
		return c, nil
	}
	i.ID = old.ID
	if err := fresh(*old, i); err != nil {
		return Change{}, err
	}
	return changed(what, *old, i), nil
}

// Unlook forgets what was kept for an item: not looked at.
func (r *Rebuild) Unlook(key string, rev int, name string) (Change, error) {
	old := r.RehearsedItem(key)
	if old == nil {
		return Change{}, &Conflict{Kind: KindRehearsed, Label: name}
	}
	if old.Rev != rev {
		return Change{}, &Conflict{KindRehearsed, old.ID, name, *old}
	}
	c := Change{What: fmt.Sprintf("set %q back to not looked at", short(name))}
	c.remove(*old)
	return c, nil
}

func (r *Rebuild) checkRehearsed(i Rehearsed) error {
	if err := i.Validate(); err != nil {
		return err
	}
	if other := r.RehearsedItem(i.Key); other != nil && i.ID != 0 && other.ID != i.ID {
		return &Invalid{[]Problem{{"key", fmt.Sprintf("the item %q is kept twice", short(i.Key))}}}
	}
	if i.EvidenceID != 0 && r.EvidenceAt(i.EvidenceID) == nil {
		return &Invalid{[]Problem{{"evidence", fmt.Sprintf("measurement %d is not there any more", i.EvidenceID)}}}
	}
	return nil
}

// fitsRehearsed refuses what names a measurement that is gone, or an item that
// was looked at anew meanwhile.
func (r *Rebuild) fitsRehearsed(i Rehearsed) error {
	if i.EvidenceID != 0 && r.EvidenceAt(i.EvidenceID) == nil {
		return &Conflict{Kind: KindEvidence, ID: i.EvidenceID}
	}
	if other := r.RehearsedItem(i.Key); other != nil && other.ID != i.ID {
		return &Conflict{KindRehearsed, other.ID, other.Label(), *other}
	}
	return nil
}

// without is its next revision with no measurement behind it.
func (i *Rehearsed) without() Rehearsed {
	loose := *i
	loose.Rev++
	loose.EvidenceID = 0
	return loose
}

// TestResult is what the official test said.
type TestResult string

// The results of an official test.
const (
	TestPass TestResult = "pass"
	TestFail TestResult = "fail"
)

// TestResults lists them.
var TestResults = []TestResult{TestPass, TestFail}

// OfficialTest is what the official inspection found, beside what was expected of
// it when the car was taken there.
type OfficialTest struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	On           string     `json:"on"`           // ISO date
	Jurisdiction string     `json:"jurisdiction"` // whose list it was compared with
	Where        string     `json:"where"`        // the sort of place, not a name; empty: not said
	Result       TestResult `json:"result"`
	// Chance is what was expected of it, 0 to 1; nil: not worked out.
	Chance *float64     `json:"chance"`
	Items  []TestedItem `json:"items"` // what it found, and what had been found before
	Photos []Attachment `json:"photos"`
	Note   string       `json:"note"`
}

// TestedItem is one item that the rehearsal or the test had something to say of.
type TestedItem struct {
	Key string `json:"key"` // of the item in the list; empty: on no list
	// Rehearsed is what the rehearsal had said by then; empty: not looked at.
	Rehearsed ItemResult `json:"rehearsed"`
	Found     ItemResult `json:"found"` // what the test said
	Text      string     `json:"text"`  // in its words
}

// ItemKind is part of [Item].
func (t OfficialTest) ItemKind() Kind { return KindOfficialTest }

// ItemID is part of [Item].
func (t OfficialTest) ItemID() int64 { return t.ID }

// Revision is part of [Item].
func (t OfficialTest) Revision() int { return t.Rev }

// Label is part of [Item].
func (t OfficialTest) Label() string { return "official test of " + t.On }

// Validate checks the test by itself.
func (t OfficialTest) Validate() error {
	var c checks
	c.date(t.On, "on", "the day of the test", true)
	c.oneOfIfSaid(t.Jurisdiction, "jurisdiction", "the jurisdiction", Jurisdictions...)
	c.text(t.Where, "where", "where it was", 0, 120)
	c.oneOf(string(t.Result), "result", "the result", names(TestResults)...)
	if t.Chance != nil {
		c.chance(*t.Chance, "chance", "the chance that was expected")
	}
	c.that(len(t.Items) <= maxNamed, "items", "there are %d items; at most %d fit", len(t.Items), maxNamed)
	for i, item := range t.Items {
		at := fmt.Sprintf("items.%d.", i+1)
		c.text(item.Key, at+"key", "which item", 0, 60)
		c.oneOfIfSaid(string(item.Rehearsed), at+"rehearsed", "what the rehearsal said", names(ItemResults)...)
		c.oneOf(string(item.Found), at+"found", "what the test said", names(FoundResults)...)
		c.text(item.Text, at+"text", "the test's words", 0, 500)
		c.that(item.Key != "" || item.Text != "", at+"text", "say what the test found")
		twice := slices.ContainsFunc(t.Items[:i], func(o TestedItem) bool { return o.Key == item.Key && item.Key != "" })
		c.that(!twice, at+"key", "the item %q is named twice", short(item.Key))
	}
	failed := slices.ContainsFunc(t.Items, func(i TestedItem) bool { return i.Found == ItemFail })
	c.that(t.Result != TestPass || !failed, "result", "a test that was passed has no item that failed; was it an advisory?")
	c.attachments(t.Photos, "photos")
	c.text(t.Note, "note", "the note", 0, 4000)
	return c.err()
}

// AddOfficialTest keeps a test; its number and revision are given here.
func (r *Rebuild) AddOfficialTest(t OfficialTest) (Change, error) {
	t.ID, t.Rev = r.nextID(), 0
	if err := t.Validate(); err != nil {
		return Change{}, err
	}
	c := Change{What: fmt.Sprintf("entered the official test of %s: %s", t.On, t.Result), nextID: t.ID + 1}
	c.add(t)
	return c, nil
}

// EditOfficialTest replaces a test. t.Rev is the revision the form was opened with.
func (r *Rebuild) EditOfficialTest(t OfficialTest) (Change, error) {
	old := r.OfficialTest(t.ID)
	if old == nil {
		return Change{}, &Conflict{Kind: KindOfficialTest, ID: t.ID, Label: t.Label()}
	}
	if err := fresh(*old, t); err != nil {
		return Change{}, err
	}
	if err := t.Validate(); err != nil {
		return Change{}, err
	}
	return changed(fmt.Sprintf("changed the official test of %s", t.On), *old, t), nil
}

// DeleteOfficialTest takes a test out.
func (r *Rebuild) DeleteOfficialTest(id int64, rev int) (Change, error) {
	old := r.OfficialTest(id)
	if old == nil {
		return Change{}, &Missing{KindOfficialTest, id}
	}
	if old.Rev != rev {
		return Change{}, &Conflict{KindOfficialTest, id, old.Label(), *old}
	}
	c := Change{What: fmt.Sprintf("deleted the official test of %s", old.On)}
	c.remove(*old)
	return c, nil
}
