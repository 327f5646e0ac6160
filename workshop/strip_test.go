package workshop

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// stripRig is a rebuild with nothing in it, changed in memory.
type stripRig struct {
	t  *testing.T
	rb *rebuild.Rebuild
	at int
}

func newStripRig(t *testing.T) *stripRig {
	t.Helper()
	c, err := rebuild.New(rebuild.Car{Name: "Skua", Jurisdiction: "DE", DistanceUnit: "km", Currency: "EUR", Correlation: 0.25})
	if err != nil {
		t.Fatal(err)
	}
	g := &stripRig{t: t, rb: &rebuild.Rebuild{}}
	g.apply(c, nil)
	return g
}

func (g *stripRig) apply(c rebuild.Change, err error) rebuild.Change {
	g.t.Helper()
	if err == nil {
		g.rb, err = g.rb.Apply(c)
	}
	if err != nil {
		g.t.Fatal(err)
	}
	return c
}

func (g *stripRig) moment() string {
	g.at++
	return fmt.Sprintf("2026-05-04T10:%02d:00Z", g.at)
}

func (g *stripRig) off(s rebuild.StripItem) int64 {
	g.t.Helper()
	s.At = g.moment()
	return g.apply(TakeOff(g.rb, s, false)).Added().ItemID()
}

func (g *stripRig) job(title, zone string) int64 {
	g.t.Helper()
	return g.apply(g.rb.AddJob(rebuild.Job{Title: title, Zone: zone, Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen})).Added().ItemID()
}

func refusedFor(err error, words string) bool {
	var invalid *rebuild.Invalid
	return errors.As(err, &invalid) && strings.Contains(err.Error(), words)
}

func TestFastenersOfAThingShareABag(t *testing.T) {
	g := newStripRig(t)
	g.off(rebuild.StripItem{What: "Wheel", Fasteners: []rebuild.FastenerSet{{Count: 5}}})
	id := g.off(rebuild.StripItem{What: "Liner", Fasteners: []rebuild.FastenerSet{{Count: 7, Thread: "clip"}, {Count: 1, Bag: "KEEP"}, {Count: 2, OneTime: true}}})
	g.apply(TakeOff(g.rb, rebuild.StripItem{What: "Duct", At: g.moment(), Fasteners: []rebuild.FastenerSet{{Count: 1}}}, true))
	var bags []string
	for _, f := range g.rb.StripItem(id).Fasteners {
		bags = append(bags, f.Bag)
	}
	if !slices.Equal(bags, []string{"B2", "KEEP", "B2"}) {
		t.Errorf("the bags are %v", bags)
	}
	labels := BagLabels(g.rb)
	if len(labels) != 3 || labels[1].Code != "B2" || !slices.Equal(labels[1].Lines(), []string{"7 × clip", "2 × fasteners"}) || !labels[1].Renew || labels[2].Renew {
		t.Errorf("the labels are %+v", labels)
	}
}

func TestWordsUsedBeforeComeFirst(t *testing.T) {
	g := newStripRig(t)
	for _, thread := range []string{"M7", "M9", "M9"} {
		g.off(rebuild.StripItem{What: "Cover", Fasteners: []rebuild.FastenerSet{{Count: 1, Thread: thread, Tool: "12 mm socket"}}, Connectors: []rebuild.Connector{{Name: "plug"}}})
	}
	w := WordsForStrip(g.rb)
	if !slices.Equal(w.Threads[:3], []string{"M9", "M7", "M6"}) || w.Tools[0] != "12 mm socket" || w.ToolFor["M9"] != "12 mm socket" || w.Connectors[0] != "plug" {
		t.Errorf("offered are %+v", w)
	}
}

func TestWhatIsOfferedAsOffBefore(t *testing.T) {
	g := newStripRig(t)
	first := g.off(rebuild.StripItem{What: "Wing", Zone: "front-left-wing"})
	for range lastOff + 3 {
		g.off(rebuild.StripItem{What: "Seat", Zone: "cabin"})
	}
	has := func(zone string, named ...int64) bool {
		return slices.ContainsFunc(CameOffBefore(g.rb, zone, 0, named), func(s *rebuild.StripItem) bool { return s.ID == first })
	}
	if has("cabin") || !has("front-left-wing") || !has("cabin", first) {
		t.Error("the wing belongs among those of its zone, and where it is named")
	}
	if n := len(CameOffBefore(g.rb, "", 0, nil)); n != lastOff {
		t.Errorf("%d are offered where no zone is said", n)
	}
}

func TestRefitPlanPutsWorkBeforeWhatWaitsForIt(t *testing.T) {
	g := newStripRig(t)
	job := g.job("New hose", "engine-bay")
	tray := g.off(rebuild.StripItem{What: "Tray", Jobs: []int64{job}})
	duct := g.off(rebuild.StripItem{What: "Duct", Jobs: []int64{job}, After: []int64{tray}})
	clip := g.off(rebuild.StripItem{What: "Clip", After: []int64{duct}})
	p := PlanRefit(g.rb, true, nil, nil)
	if len(p.Today.Steps) != 1 || p.Today.Steps[0].Item.ID != clip {
		t.Errorf("today: %+v", p.Today.Steps)
	}
	var order []string
	for _, l := range p.Later {
		if l.Job != nil {
			order = append(order, "job "+l.Job.Title)
			continue
		}
		order = append(order, l.Step.Item.What)
	}
	if !slices.Equal(order, []string{"job New hose", "Duct", "Tray"}) {
		t.Errorf("later: %v", order)
	}
}

func TestOneTimeFastenersAreNotUsedAgain(t *testing.T) {
	g := newStripRig(t)
	id := g.off(rebuild.StripItem{What: "Arm", Fasteners: []rebuild.FastenerSet{{Count: 2, Thread: "M12", OneTime: true}}})
	bolt := g.off(rebuild.StripItem{What: "Bolt", Condition: rebuild.ConditionOneTime})
	clip := g.off(rebuild.StripItem{What: "Clip", Condition: rebuild.ConditionDamaged})
	for _, one := range []int64{id, bolt} {
		_, err := PutBack(g.rb, one, 0, Back{At: g.moment(), By: "Kim", Anyway: "it looks fine"})
		if !refusedFor(err, "No reason makes a one-time fastener good again") {
			t.Errorf("%d: %v", one, err)
		}
	}
	if _, err := PutBack(g.rb, clip, 0, Back{At: g.moment(), By: "Kim"}); !refusedFor(err, "say why") {
		t.Errorf("the damaged clip: %v", err)
	}
	g.apply(PutBack(g.rb, clip, 0, Back{At: g.moment(), By: "Kim", Anyway: "a cable tie holds it"}))
	g.apply(Bought(g.rb, "fasteners|m12|", TickArrived, "2026-05-05"))
	g.apply(PutBack(g.rb, id, 1, Back{At: g.moment(), By: "Kim", Emptied: []int{0, 9}}))
	if s := g.rb.StripItem(id); s.Off() || !s.Fasteners[0].Emptied || s.Fasteners[0].ArrivedOn != "2026-05-05" {
		t.Errorf("it became %+v", s)
	}
}

func TestBuyingIsSaidOfAWholeLine(t *testing.T) {
	g := newStripRig(t)
	a := g.off(rebuild.StripItem{What: "Link", Fasteners: []rebuild.FastenerSet{{Count: 2, Thread: "M10 x 1.25", OneTime: true, Note: "left"}, {Count: 1, Thread: "M6"}}})
	b := g.off(rebuild.StripItem{What: "Bar", Fasteners: []rebuild.FastenerSet{{Count: 4, Thread: "m10x1.25", OneTime: true}}})
	g.off(rebuild.StripItem{What: "Boot", Condition: rebuild.ConditionRenew, Note: "the long one"})
	lines := g.rb.ToBuy()
	if len(lines) != 2 {
		t.Fatalf("to buy: %+v", lines)
	}
	for _, line := range lines {
		if BuyOrdered(line) != "" {
			t.Errorf("%s is ordered already", BuyWords(line))
		}
		g.apply(Bought(g.rb, BuyKey(line), TickOrdered, "2026-05-05"))
	}
	for _, line := range g.rb.ToBuy() {
		if BuyOrdered(line) != "2026-05-05" {
			t.Errorf("%s: ordered %q", BuyWords(line), BuyOrdered(line))
		}
	}
	if note := g.rb.StripItem(a).Fasteners[0].Note; note != "left\nOrdered on 2026-05-05." {
		t.Errorf("the note is %q", note)
	}
	for _, line := range g.rb.ToBuy() {
		g.apply(Bought(g.rb, BuyKey(line), TickArrived, "2026-05-09"))
	}
	if left := g.rb.ToBuy(); len(left) != 0 || g.rb.StripItem(b).Fasteners[0].ArrivedOn != "2026-05-09" || g.rb.StripItem(a).Fasteners[1].ArrivedOn != "" {
		t.Errorf("left to buy: %+v", left)
	}
	if _, err := Bought(g.rb, "part||boot", TickArrived, "2026-05-09"); !refusedFor(err, "not on the list") {
		t.Errorf("bought twice: %v", err)
	}
}

func TestTicks(t *testing.T) {
	g := newStripRig(t)
	id := g.off(rebuild.StripItem{What: "Lamp", Condition: rebuild.ConditionRenew, Fasteners: []rebuild.FastenerSet{{Count: 3, OneTime: true}}, Connectors: []rebuild.Connector{{Name: "plug"}}})
	tick := func(what string, at int, not bool) string {
		t.Helper()
		return g.apply(Ticked(g.rb, id, g.rb.StripItem(id).Rev, Tick{what, at}, not, "2026-05-06T08:00:00Z")).What
	}
	if said := tick(TickArrived, 0, false); said != `ticked “arrived: 3 × fasteners” of "Lamp"` {
		t.Errorf("it says %s", said)
	}
	if said := tick(TickSettled, -1, false); said != `ticked “new one here” of "Lamp"` {
		t.Errorf("it says %s", said)
	}
	tick(TickMade, 0, false)
	tick(TickEmptied, 0, false)
	if s := g.rb.StripItem(id); s.SettledOn != "2026-05-06" || s.Fasteners[0].ArrivedOn != "2026-05-06" || !s.Fasteners[0].Emptied || !s.Connectors[0].Made {
		t.Errorf("it became %+v", s)
	}
	for _, what := range []string{TickArrived, TickMade, TickEmptied} {
		tick(what, 0, true)
	}
	tick(TickOrdered, 0, false)
	tick(TickOrdered, 0, true)
	if s := g.rb.StripItem(id); s.Fasteners[0].ArrivedOn != "" || s.Fasteners[0].Emptied || s.Connectors[0].Made || s.Fasteners[0].Note != "" {
		t.Errorf("it became %+v", s)
	}
	for _, bad := range []Tick{{TickEmptied, 1}, {TickMade, -1}, {TickArrived, 7}, {"painted", 0}} {
		if _, err := Ticked(g.rb, id, g.rb.StripItem(id).Rev, bad, false, "2026-05-06T08:00:00Z"); !refusedFor(err, "") {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	var conflict *rebuild.Conflict
	if _, err := Ticked(g.rb, id, 0, Tick{TickMade, 0}, false, "2026-05-06T08:00:00Z"); !errors.As(err, &conflict) {
		t.Errorf("an old revision: %v", err)
	}
}

// What is left over are the bags and plugs of what is back; the next steps say so.
func TestLeftOverIsANextStep(t *testing.T) {
	g := newStripRig(t)
	id := g.off(rebuild.StripItem{What: "Lamp", Fasteners: []rebuild.FastenerSet{{Count: 3}}, Connectors: []rebuild.Connector{{Name: "plug"}}})
	steps := func() string {
		a := adviser{rebuild: g.rb, outlook: &Outlook{}}
		a.refitting()
		var titles []string
		for _, action := range a.actions {
			titles = append(titles, action.Title)
		}
		return strings.Join(titles, "; ")
	}
	if got := steps(); got != "Put back what can go back: 1 thing" {
		t.Errorf("the steps are %q", got)
	}
	if l := LooseEnds(g.rb); len(l.Bags) != 0 {
		t.Errorf("loose while it is off: %+v", l)
	}
	g.apply(PutBack(g.rb, id, 0, Back{At: g.moment(), By: "Kim", Made: []int{0}}))
	if l := LooseEnds(g.rb); l.Fasteners != 3 || len(l.Connectors) != 0 {
		t.Errorf("loose: %+v", l)
	}
	if got := steps(); got != "Find where what is left over belongs" {
		t.Errorf("the steps are %q", got)
	}
	g.apply(Ticked(g.rb, id, 1, Tick{TickEmptied, 0}, false, g.moment()))
	if got := steps(); got != "" {
		t.Errorf("the steps are %q", got)
	}
	g.apply(Ticked(g.rb, id, 2, Tick{What: TickAgain}, false, g.moment()))
	if s := g.rb.StripItem(id); !s.Off() || s.Fasteners[0].Emptied {
		t.Errorf("off again: %+v", s)
	}
}
