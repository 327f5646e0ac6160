package workshop

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"sync"

	"wreckwright/knowledge"
	"wreckwright/prove/gate"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// GateLine is a gate with its verdict and with the pass that was given, if any.
type GateLine struct {
	gate.Gate
	Which rebuild.Gate
	// Pass is the latest that holds; nil: not passed.
	Pass *rebuild.GatePass
	// New is what came up against it since that pass.
	New []gate.Against
}

// Passed reports that it was passed and nothing came up since. A hard stop is
// never passed, even where it was a lesser thing when the pass was given.
func (l GateLine) Passed() bool { return l.Pass != nil && len(l.New) == 0 && !l.HardStop() }

// Lapsed reports that it was passed and something came up since.
func (l GateLine) Lapsed() bool { return l.Pass != nil && !l.Passed() }

// HardStop reports that no reason passes it.
func (l GateLine) HardStop() bool { return l.State == gate.HardStop }

// Clear reports that nothing on record stands against it.
func (l GateLine) Clear() bool { return l.State == gate.Open }

// Seal names the very list that stands against it: a form that was shown another
// one is not taken.
func (l GateLine) Seal() string {
	hash := sha256.New()
	for _, a := range l.Against {
		fmt.Fprintf(hash, "%s\x00%s\x00%d\x00%s\x00%s\n", a.Rule, a.Kind, a.ID, a.Key, a.Text)
	}
	return hex.EncodeToString(hash.Sum(nil))[:16]
}

var gateRules = sync.OnceValue(func() []gate.Rule {
	var rules []gate.Rule
	for _, r := range knowledge.GateRules() {
		rules = append(rules, gate.Rule{
			Key: r.Rule, Gates: r.Gates, About: r.About, States: r.States, Classes: r.Classes, Keys: r.Keys, Marks: r.Marks, Without: r.Without,
			Hard: r.Hard, Papers: r.Papers, Text: r.Text, Do: r.Do, Source: r.Refs.String(),
		})
	}
	return rules
})

// Gates judges the four gates on a rebuild as it stands today.
func (w *Workshop) Gates(ctx context.Context, r *rebuild.Rebuild) ([]GateLine, error) {
	today := w.today()
	return w.gates.get(ctx, w.life, r, today, func(context.Context) ([]GateLine, error) { return gatesOf(r, today) })
}

// gatesOf judges the road-test gate first: whether it is passed counts at the
// others.
func gatesOf(r *rebuild.Rebuild, today string) ([]GateLine, error) {
	things := gateThings(r, today)
	road, err := gate.Judge(gateRules(), things, gateKeys())
	if err != nil {
		return nil, fmt.Errorf("judging the gates: %w", err)
	}
	line := gateLine(r, road[0])
	state := "not passed"
	switch {
	case line.Passed():
		state = "passed"
	case line.Lapsed():
		state = "new since"
	}
	things = append(things, gate.Thing{Kind: "gate", Key: string(rebuild.GateRoadTest), Title: "Road test", State: state})
	all, err := gate.Judge(gateRules(), things, gateKeys())
	if err != nil {
		return nil, fmt.Errorf("judging the gates: %w", err)
	}
	lines := []GateLine{line}
	for _, g := range all[1:] {
		lines = append(lines, gateLine(r, g))
	}
	return lines, nil
}

func gateKeys() []string {
	keys := make([]string, len(rebuild.Gates))
	for i, g := range rebuild.Gates {
		keys[i] = string(g)
	}
	return keys
}

func gateLine(r *rebuild.Rebuild, g gate.Gate) GateLine {
	l := GateLine{Gate: g, Which: rebuild.Gate(g.Key)}
	if l.Pass = r.PassOf(l.Which); l.Pass == nil {
		return l
	}
	for _, a := range g.Against {
		if !l.Pass.Accepts(stood(a)) {
			l.New = append(l.New, a)
		}
	}
	return l
}

// mostText is how much of a text a pass keeps.
const mostText = 1000

// stood is what stands against a gate as a pass keeps it.
func stood(a gate.Against) rebuild.GateAgainst {
	text := []rune(a.Text)
	return rebuild.GateAgainst{Rule: a.Rule, Kind: a.Kind, ItemID: a.ID, Text: string(text[:min(len(text), mostText)])}
}

// PassGate passes a gate as it stands in the book at that moment. seal names the
// list that was shown. A hard stop is refused whatever the reason; where something
// stands against it a reason is needed, and both are kept.
func (w *Workshop) PassGate(ctx context.Context, by store.By, id int64, which rebuild.Gate, at, seal, reason string) (*rebuild.Rebuild, store.Record, error) {
	return w.Do(ctx, by, id, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		lines, err := gatesOf(r, w.today())
		if err != nil {
			return rebuild.Change{}, err
		}
		i := slices.IndexFunc(lines, func(l GateLine) bool { return l.Which == which })
		if i < 0 {
			return rebuild.Change{}, gateRefused("gate", "there is no gate %q", which)
		}
		l := lines[i]
		switch {
		case l.HardStop():
			return rebuild.Change{}, gateRefused("gate", "a hard stop stands against it (%s); no reason passes that", l.Against[0].Text)
		case l.Seal() != seal:
			return rebuild.Change{}, gateRefused("gate", "what stands against it has changed since this page was opened; look at the list once more")
		}
		pass := rebuild.GatePass{Gate: which, At: at, By: by.Who}
		for _, a := range l.Against {
			pass.Against = append(pass.Against, stood(a))
		}
		if pass.AgainstAdvice() {
			pass.Reason = reason
		}
		return r.PassGate(pass)
	})
}

func gateRefused(field, format string, args ...any) error {
	return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: field, Text: fmt.Sprintf(format, args...)}}}
}

// GatePassed is a pass of a gate, for those who are to see it later.
type GatePassed struct {
	Gate      string
	At, By    string
	Against   []string // what stood against it then
	Reason    string
	Withdrawn string // RFC 3339; empty: it holds
	Why       string // it was withdrawn
}

// GatePasses tells all passes of gates in the order they were given, those against
// advice with what stood against them and the reason.
func GatePasses(r *rebuild.Rebuild) []GatePassed {
	var list []GatePassed
	for _, p := range r.GatePasses {
		line := GatePassed{Gate: string(p.Gate), At: p.At, By: p.By, Reason: p.Reason, Withdrawn: p.WithdrawnAt, Why: p.WithdrawnWhy}
		for _, a := range p.Against {
			line.Against = append(line.Against, a.Text)
		}
		list = append(list, line)
	}
	slices.SortStableFunc(list, func(a, b GatePassed) int { return strings.Compare(a.At, b.At) })
	return list
}
