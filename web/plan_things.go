package web

import "wreckwright/rebuild"

// planThings are what jobs share: a lift, a bay, a hired tool.
var planThings = planItems[rebuild.Thing]{
	kind: rebuild.KindThing, name: "thing", path: "/plan/things",
	find: (*rebuild.Rebuild).Thing, fill: (*Form).setThing, read: (*Form).readThing,
	add: (*rebuild.Rebuild).AddThing, edit: (*rebuild.Rebuild).EditThing, remove: (*rebuild.Rebuild).DeleteThing,
	show: showPlanItem[rebuild.Thing]("plan_things", "Things"),
}

func (f *Form) setThing(t rebuild.Thing) {
	f.Set("name", t.Name)
	f.setNumber("count", float64(t.Count))
	f.Set("from", t.From)
	f.Set("to", t.To)
	f.Set("note", t.Note)
}

func (f *Form) readThing(t *rebuild.Thing, _ *rebuild.Rebuild, _ string) {
	t.Rev = f.rev()
	t.Name, t.From, t.To, t.Note = f.Value("name"), f.Value("from"), f.Value("to"), f.Value("note")
	if t.Count = int(f.whole("count", "how many there are")); f.Value("count") == "" {
		t.Count = 1
	}
}
