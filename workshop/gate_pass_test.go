package workshop

import (
	"context"
	"errors"
	"log/slog"
	"strings"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// inABook opens a workshop over a book in a folder of its own, with one rebuild.
func inABook(t *testing.T, steps ...step) (*Workshop, int64) {
	t.Helper()
	ctx := context.Background()
	b, err := store.Open(ctx, t.TempDir(), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	w := New(b, slog.New(slog.DiscardHandler), func() string { return today })
	t.Cleanup(func() { w.Close(); b.Close() })
	r, err := b.Start(ctx, byTest, aCar())
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range steps {
		if _, _, err := w.Do(ctx, byTest, r.ID, s); err != nil {
			t.Fatal(err)
		}
	}
	return w, r.ID
}

func TestPassingAGate(t *testing.T) {
	ctx := context.Background()
	const at = "2026-06-30T10:00:00Z"
	w, id := inABook(t, aJob("arm", 10, ofClass(rebuild.SafetySuspension)), surveyed)
	line := func() GateLine {
		t.Helper()
		r, err := w.Book().Load(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		lines, err := w.Gates(ctx, r)
		if err != nil {
			t.Fatal(err)
		}
		return lines[0]
	}
	refusedBy := func(err error, says string) {
		t.Helper()
		var invalid *rebuild.Invalid
		if !errors.As(err, &invalid) || !strings.Contains(err.Error(), says) {
			t.Errorf("got %v, want %q", err, says)
		}
	}
	_, _, err := w.PassGate(ctx, byTest, id, "road", at, line().Seal(), "a good reason")
	refusedBy(err, "no gate")
	_, _, err = w.PassGate(ctx, byTest, id, rebuild.GateRoadTest, at, line().Seal(), " short ")
	refusedBy(err, "write why")
	_, _, err = w.PassGate(ctx, byTest, id, rebuild.GateRoadTest, at, "another list", "only round the yard, at walking pace")
	refusedBy(err, "has changed")
	if _, _, err = w.PassGate(ctx, byTest, id, rebuild.GateRoadTest, at, line().Seal(), "only round the yard, at walking pace"); err != nil {
		t.Fatal(err)
	}
	if l := line(); !l.Passed() || len(l.Pass.Against) != len(l.Against) || l.Pass.By != "test" {
		t.Errorf("passed %v, against %d of %d", l.Passed(), len(l.Pass.Against), len(l.Against))
	}
	if _, _, err = w.Do(ctx, byTest, id, aFinding("a crack", rebuild.Danger, true)); err != nil {
		t.Fatal(err)
	}
	if l := line(); !l.Lapsed() || len(l.New) != 1 || l.New[0].Rule != "finding-critical" {
		t.Errorf("new since: %+v", l.New)
	}
	if _, _, err = w.Do(ctx, byTest, id, aJob("pads", 10, ofClass(rebuild.SafetyBrake))); err != nil {
		t.Fatal(err)
	}
	_, _, err = w.PassGate(ctx, byTest, id, rebuild.GateRoadTest, at, line().Seal(), "a reason that is long enough")
	refusedBy(err, "hard stop")
	r, err := w.Book().Load(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	told := GatePasses(r)
	if len(told) != 1 || told[0].Reason == "" || len(told[0].Against) == 0 || told[0].Gate != "road test" {
		t.Errorf("told %+v", told)
	}
}

// A pass that was given before something became a hard stop does not hold.
func TestAPassDoesNotHoldAgainstAHardStop(t *testing.T) {
	r := stand(t, aJob("pads", 10, ofClass(rebuild.SafetyBrake)), surveyed)
	lines, err := gatesOf(r, today)
	if err != nil {
		t.Fatal(err)
	}
	pass := rebuild.GatePass{Gate: rebuild.GateRoadTest, At: "2026-05-01T10:00:00Z", By: "Ada", Reason: "only round the yard"}
	for _, a := range lines[0].Against {
		pass.Against = append(pass.Against, stood(a))
	}
	r.GatePasses = append(r.GatePasses, pass)
	if lines, err = gatesOf(r, today); err != nil || lines[0].Passed() || !lines[0].Lapsed() {
		t.Errorf("passed %v, lapsed %v (%v)", lines[0].Passed(), lines[0].Lapsed(), err)
	}
}
