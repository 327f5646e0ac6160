package workshop

import (
	"testing"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// A battery measured on the bench is offered as the answer to the test of a case
// that asks for it, with its doubt.
func TestCheckAnswersATest(t *testing.T) {
	ask, _ := AskCheck("battery-rest", "", rebuild.Car{Jurisdiction: "UK"}, "")
	s := CheckSettings{Quantity: ask.Key, Name: ask.Name, Unit: ask.Unit, Form: ask.Form, InstrumentLimit: new(0.03)}
	if err := ask.Here[0].Put(&s); err != nil {
		t.Fatal(err)
	}
	said, err := ExamineCheck("11.61\n11.6\n11.6", s)
	if err != nil {
		t.Fatal(err)
	}
	e := onMayDay(said.Evidence())
	e.ID = 7
	r := &rebuild.Rebuild{Evidence: []rebuild.Evidence{e}}
	m, _ := knowledge.FaultModelFor("battery-flat")
	k := rebuild.Case{Model: string(m.YAML)}
	w := &Workshop{}
	model, err := w.Model(k.Model)
	if err != nil {
		t.Fatal(err)
	}
	offer := offerFor(r, &k, model.Tests[testAt(&model.Case, "rest")])
	if offer == nil || offer.Value != said.Value.Value || !(offer.SD > 0.01 && offer.SD < 0.05) {
		t.Fatalf("offered %+v", offer)
	}
	if offer := offerFor(r, &k, model.Tests[testAt(&model.Case, "drain")]); offer != nil {
		t.Errorf("a voltage is offered as a current: %+v", offer)
	}
}
