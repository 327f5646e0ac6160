package rebuild

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"time"
)

// Condition is how a thing that came off will go back.
type Condition string

// The conditions; empty: not said.
const (
	ConditionReuse   Condition = "reuse"
	ConditionClean   Condition = "clean"    // goes back once it is cleaned
	ConditionRenew   Condition = "renew"    // a new one goes back
	ConditionOneTime Condition = "one-time" // never goes back: a new one each time
	ConditionDamaged Condition = "damaged"  // to be mended or renewed
	ConditionMissing Condition = "missing"
)

// Conditions lists those that have a name.
var Conditions = []Condition{ConditionReuse, ConditionClean, ConditionRenew, ConditionOneTime, ConditionDamaged, ConditionMissing}

// WantsSettling reports whether the thing as it came off cannot go back.
func (c Condition) WantsSettling() bool {
	return c == ConditionRenew || c == ConditionOneTime || c == ConditionDamaged || c == ConditionMissing
}

// StripItem is a thing that came off the car. All of them, by the moment they
// came off, are the strip trail.
type StripItem struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	At   string `json:"at"` // RFC 3339: when it came off
	What string `json:"what"`
	Zone string `json:"zone"` // empty: not said

	Fasteners  []FastenerSet `json:"fasteners"`
	Connectors []Connector   `json:"connectors"` // plugs, clips and hoses to be made again
	Photos     []Attachment  `json:"photos"`     // how it sat
	Marks      []PhotoMark   `json:"marks"`      // numbers drawn on the photos

	Condition Condition `json:"condition"` // empty: not said
	// SettledOn is the ISO date on which what goes back was there: the new one
	// arrived, the damaged one mended. Empty: not yet, or nothing to settle.
	SettledOn string `json:"settled_on"`

	After  []int64 `json:"after"`  // items that had to come off before this one: it goes back before them
	Jobs   []int64 `json:"jobs"`   // jobs that need it off: it may go back when they are over
	Joints []int64 `json:"joints"` // joints undone by taking it off

	BackAt string `json:"back_at"` // RFC 3339: when it went back; empty: still off
	BackBy string `json:"back_by"`
	// BackAnyway is why it went back although something stood against it.
	BackAnyway string `json:"back_anyway"`
	Note       string `json:"note"`
}

// FastenerSet is a number of equal bolts, nuts, screws or clips.
type FastenerSet struct {
	Count   int    `json:"count"`
	Thread  string `json:"thread"`   // "M8x1.25", "M6 plastic rivet"; empty: not said
	Tool    string `json:"tool"`     // "10 mm socket", "T30"; empty: not said
	Bag     string `json:"bag"`      // short code on its bag; empty: in none
	OneTime bool   `json:"one_time"` // must be renewed
	// ToBuy is what to ask for when they are renewed: a part number, a size.
	ToBuy     string `json:"to_buy"`
	ArrivedOn string `json:"arrived_on"` // ISO date on which the new ones were there
	Emptied   bool   `json:"emptied"`    // all of them are back on the car
	Note      string `json:"note"`
}

// Connector is a plug, clip, hose or line that was parted.
type Connector struct {
	Name string `json:"name"`
	Made bool   `json:"made"` // made again
}

// PhotoMark is a number drawn on a photo.
type PhotoMark struct {
	Photo  int     `json:"photo"` // place in Photos, from 0
	Number int     `json:"number"`
	X      float64 `json:"x"` // 0 left to 1 right
	Y      float64 `json:"y"` // 0 top to 1 bottom
	Text   string  `json:"text"`
}

// ItemKind is part of [Item].
func (s StripItem) ItemKind() Kind { return KindStripItem }

// ItemID is part of [Item].
func (s StripItem) ItemID() int64 { return s.ID }

// Revision is part of [Item].
func (s StripItem) Revision() int { return s.Rev }

// Label is part of [Item].
func (s StripItem) Label() string { return s.What }

// Off reports whether it is still off the car.
func (s *StripItem) Off() bool { return s.BackAt == "" }

// Settled reports whether what goes back is there.
func (s *StripItem) Settled() bool { return !s.Condition.WantsSettling() || s.SettledOn != "" }

// Undoes reports whether the joint was undone by taking the item off.
func (s *StripItem) Undoes(joint int64) bool { return slices.Contains(s.Joints, joint) }

// Bounds of a strip item: far above what comes off at once.
const (
	maxFasteners  = 100
	maxConnectors = 200
	maxMarks      = 500
	maxNamed      = 500
	maxCount      = 1000
)

// Validate checks the item by itself.
func (s StripItem) Validate() error {
	var c checks
	c.moment(s.At, "at", "the moment it came off", true)
	c.text(s.What, "what", "what came off", 1, 200)
	c.zone(s.Zone)
	c.that(len(s.Fasteners) <= maxFasteners, "fasteners", "there are %d kinds of fasteners; at most %d fit", len(s.Fasteners), maxFasteners)
	for i, f := range s.Fasteners {
		c.fold(fmt.Sprintf("fasteners.%d.", i+1), f.problems())
	}
	c.that(len(s.Connectors) <= maxConnectors, "connectors", "there are %d connectors; at most %d fit", len(s.Connectors), maxConnectors)
	for i, k := range s.Connectors {
		c.text(k.Name, fmt.Sprintf("connectors.%d.name", i+1), "the connector's name", 1, 120)
	}
	c.attachments(s.Photos, "photos")
	s.checkMarks(&c)
	c.oneOfIfSaid(string(s.Condition), "condition", "its condition", names(Conditions)...)
	c.date(s.SettledOn, "settled_on", "the day what goes back was there", false)
	c.that(s.SettledOn == "" || s.Condition.WantsSettling(), "settled_on", "only what is to be renewed, damaged or missing has a day on which that was settled")
	s.checkNamed(&c)
	s.checkBack(&c)
	c.text(s.Note, "note", "the note", 0, 4000)
	return c.err()
}

func (s StripItem) checkNamed(c *checks) {
	c.distinct(s.After, "after", "entry")
	c.that(s.ID == 0 || !slices.Contains(s.After, s.ID), "after", "%q cannot have come off after itself", short(s.What))
	c.distinct(s.Jobs, "jobs", "job")
	c.distinct(s.Joints, "joints", "joint")
	most := max(len(s.After), len(s.Jobs), len(s.Joints))
	c.that(most <= maxNamed, "after", "it names %d others; at most %d fit", most, maxNamed)
}

func (s StripItem) checkBack(c *checks) {
	c.moment(s.BackAt, "back_at", "the moment it went back", false)
	c.that(s.BackAt == "" || s.At == "" || !instant(s.BackAt).Before(instant(s.At)), "back_at", "it went back on %s, before it came off on %s", day(s.BackAt), day(s.At))
	c.text(s.BackBy, "back_by", "who put it back", 0, 80)
	c.text(s.BackAnyway, "back_anyway", "why it went back anyway", 0, 500)
	c.that(s.BackAt != "" || s.BackBy == "" && s.BackAnyway == "", "back_at", "say when it went back, or leave out who put it back and why")
}

func (s StripItem) checkMarks(c *checks) {
	c.that(len(s.Marks) <= maxMarks, "marks", "there are %d marks on the photos; at most %d fit", len(s.Marks), maxMarks)
	type number struct{ photo, number int }
	seen := map[number]bool{}
	for i, m := range s.Marks {
		at := fmt.Sprintf("marks.%d.", i+1)
		c.that(m.Photo >= 0 && m.Photo < len(s.Photos), at+"photo", "mark %d is on photo %d, but there are %d", m.Number, m.Photo+1, len(s.Photos))
		c.that(m.Number >= 1 && m.Number <= maxMarks, at+"number", "a mark has a number from 1 to %d, not %d", maxMarks, m.Number)
		c.that(!seen[number{m.Photo, m.Number}], at+"number", "photo %d has two marks %d", m.Photo+1, m.Number)
		seen[number{m.Photo, m.Number}] = true
		c.that(m.X >= 0 && m.X <= 1 && m.Y >= 0 && m.Y <= 1, at+"x", "mark %d lies beside its photo", m.Number)
		c.text(m.Text, at+"text", "what the mark says", 0, 200)
	}
}

func (f FastenerSet) problems() []Problem {
	var c checks
	c.that(f.Count >= 1 && f.Count <= maxCount, "count", "the number of fasteners must be between 1 and %d, not %d", maxCount, f.Count)
	c.text(f.Thread, "thread", "the thread", 0, 60)
	c.text(f.Tool, "tool", "the tool", 0, 60)
	c.text(f.Bag, "bag", "the code on the bag", 0, 12)
	c.text(f.ToBuy, "to_buy", "what to buy", 0, 200)
	c.date(f.ArrivedOn, "arrived_on", "the day the new ones were there", false)
	c.that(f.ArrivedOn == "" || f.OneTime, "arrived_on", "only fasteners that must be renewed have a day on which new ones were there")
	c.text(f.Note, "note", "the note", 0, 500)
	return c.problems
}

// zone checks the key of a zone; empty: not said.
func (c *checks) zone(key string) {
	c.that(key == "" || zoneNumber(key) > 0, "zone", "there is no zone %q", key)
}

// number checks a figure that cannot be below zero.
func (c *checks) number(v, most float64, field, name, unit string) {
	c.that(v >= 0 && v <= most && !math.IsNaN(v), field, "%s must be between 0 and %.0f %s, not %s", name, most, unit, strconv.FormatFloat(v, 'f', -1, 64))
}

// instant is the moment that an RFC 3339 text says; zero where it is none.
func instant(s string) time.Time {
	at, err := time.Parse(time.RFC3339, s)
	if err != nil {
		return time.Time{}
	}
	return at
}

// day is the date in a moment, by the clock on the wall where it was written.
func day(moment string) string {
	if len(moment) < len(time.DateOnly) {
		return moment
	}
	return moment[:len(time.DateOnly)]
}
