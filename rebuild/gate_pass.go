package rebuild

import (
	"fmt"
	"slices"
)

// Gate is a point that the car must not pass before certain things are done.
type Gate string

// The gates, in the order in which a rebuild comes to them.
const (
	GateRoadTest   Gate = "road test"  // before it moves under its own power on a road
	GateBodyShop   Gate = "body shop"  // before paint is paid for
	GateInspection Gate = "inspection" // before it is taken to the official test
	GateHandOver   Gate = "hand-over"  // before somebody else drives it, or it is kept as done
)

// Gates lists them in order.
var Gates = []Gate{GateRoadTest, GateBodyShop, GateInspection, GateHandOver}

// GatePass is one time a gate was passed: with nothing against it, or against
// advice with a written reason. It is never changed afterwards, only withdrawn.
type GatePass struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Gate    Gate          `json:"gate"`
	At      string        `json:"at"` // RFC 3339
	By      string        `json:"by"`
	Against []GateAgainst `json:"against"` // what stood against it then
	Reason  string        `json:"reason"`  // why it was passed all the same; empty where nothing stood against it
	// WithdrawnAt is when the pass was taken back (RFC 3339; empty: it holds).
	WithdrawnAt  string `json:"withdrawn_at"`
	WithdrawnWhy string `json:"withdrawn_why"`
}

// GateAgainst is one thing that stood against passing a gate.
type GateAgainst struct {
	Rule string `json:"rule"` // key of the rule
	// Kind and ItemID name what it is about; empty and 0: the car as a whole.
	Kind   string `json:"kind"`
	ItemID int64  `json:"item"`
	Text   string `json:"text"` // as it was said then
}

// ItemKind is part of [Item].
func (p GatePass) ItemKind() Kind { return KindGatePass }

// ItemID is part of [Item].
func (p GatePass) ItemID() int64 { return p.ID }

// Revision is part of [Item].
func (p GatePass) Revision() int { return p.Rev }

// Label is part of [Item].
func (p GatePass) Label() string { return string(p.Gate) }

// AgainstAdvice reports whether something stood against it.
func (p GatePass) AgainstAdvice() bool { return len(p.Against) > 0 }

// Holds reports whether it was not withdrawn.
func (p GatePass) Holds() bool { return p.WithdrawnAt == "" }

// Accepts reports whether the pass was given in the face of that very thing, as it
// was said then.
func (p GatePass) Accepts(a GateAgainst) bool { return slices.Contains(p.Against, a) }

// maxAgainst bounds what may stand against one pass.
const maxAgainst = 5000

// leastReason is how many characters a reason has at least: a word is none.
const leastReason = 10

// Validate checks the pass by itself.
func (p GatePass) Validate() error {
	var c checks
	c.oneOf(string(p.Gate), "gate", "the gate", names(Gates)...)
	c.moment(p.At, "at", "the moment it was passed", true)
	c.text(p.By, "by", "who passed it", 1, 80)
	c.that(len(p.Against) <= maxAgainst, "against", "%d things stood against it; at most %d fit", len(p.Against), maxAgainst)
	for i, a := range p.Against {
		c.fold(fmt.Sprintf("against.%d.", i+1), a.problems())
	}
	c.text(p.Reason, "reason", "the reason", 0, 2000)
	c.that(len(p.Against) == 0 || len([]rune(p.Reason)) >= leastReason, "reason", "something stands against it: write why it is passed all the same, in a sentence; it is kept and appears in the build file")
	c.moment(p.WithdrawnAt, "withdrawn_at", "the moment it was withdrawn", false)
	c.that(p.WithdrawnAt == "" || p.At == "" || !instant(p.WithdrawnAt).Before(instant(p.At)), "withdrawn_at", "it was withdrawn before it was given")
	c.text(p.WithdrawnWhy, "withdrawn_why", "why it was withdrawn", 0, 1000)
	c.that(p.WithdrawnAt != "" || p.WithdrawnWhy == "", "withdrawn_why", "only a pass that was withdrawn needs a reason for that")
	return c.err()
}

func (a GateAgainst) problems() []Problem {
	var c checks
	c.text(a.Rule, "rule", "the rule", 1, 100)
	c.text(a.Kind, "kind", "what it is about", 0, 40)
	c.that(a.ItemID >= 0, "item", "there is no item %d", a.ItemID)
	c.text(a.Text, "text", "what stood against it", 1, 1000)
	return c.problems
}

// PassOf is the latest pass of the gate that holds, or nil.
func (r *Rebuild) PassOf(g Gate) *GatePass {
	var latest *GatePass
	for i := range r.GatePasses {
		p := &r.GatePasses[i]
		if p.Gate == g && p.Holds() && (latest == nil || !instant(p.At).Before(instant(latest.At))) {
			latest = p
		}
	}
	return latest
}
