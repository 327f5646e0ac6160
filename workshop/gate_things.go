package workshop

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/prove/gate"
	"wreckwright/rebuild"
)

// gateThings are all the things of a rebuild that rules of gates can speak of.
func gateThings(r *rebuild.Rebuild, today string) []gate.Thing {
	critical := criticalFindings(r)
	return slices.Concat(
		categoryThings(r, today), stageThings(r), findingThings(r, critical), jobThings(r, critical), jointThings(r, today), checkThings(r),
		codesThings(r), caseThings(r, critical), stripThings(r), cautionThings(r), mustDoThings(r, today), shakedownThings(r), inspectionThings(r),
	)
}

// criticalFindings are those that lives hang on or that may hurt somebody.
func criticalFindings(r *rebuild.Rebuild) map[int64]bool {
	critical := map[int64]bool{}
	for i := range r.Findings {
		if f := &r.Findings[i]; f.Safety || f.Severity == rebuild.Danger {
			critical[f.ID] = true
		}
	}
	return critical
}

// marked gives the marks that hold.
func marked(marks map[string]bool) []string {
	var list []string
	for mark, holds := range marks {
		if holds {
			list = append(list, mark)
		}
	}
	slices.Sort(list)
	return list
}

// categoryThings says whether the car may return to the road: by its story, or,
// where that is not read, by the category entered with it.
func categoryThings(r *rebuild.Rebuild, today string) []gate.Thing {
	t := gate.Thing{Kind: "category", Title: "The car's story", State: "unknown"}
	if r.Car.Category != "" {
		t.Title = strings.TrimSpace("Category " + r.Car.Category + " " + r.Car.Jurisdiction)
	}
	var a Appraised
	a.read(r, today)
	road := ""
	known, ok := knowledge.CategoryFor(r.Car.Jurisdiction, r.Car.Category)
	switch {
	case a.Story != nil:
		road, t.Why = a.Story.MayReturn, a.Story.Why
	case ok:
		road, t.Why = known.Road, known.First
	default:
		t.Why = a.WhyNoStory
	}
	switch road {
	case "yes":
		t.State = "may return"
	case "no":
		t.State = "may not"
	case "after inspection":
		t.State = "after inspection"
	}
	return []gate.Thing{t}
}

func stageThings(r *rebuild.Rebuild) []gate.Thing {
	things := []gate.Thing{{Kind: "book", Title: "The book", State: "begun"}}
	if len(r.Findings)+len(r.Jobs) == 0 {
		things[0].State = "empty"
	}
	for i := range r.Stages {
		t := gate.Thing{Kind: "stage", Key: r.Stages[i].Place().Key, Title: r.Stages[i].Label(), State: "not done"}
		if r.Stages[i].State == rebuild.StageDone {
			t.State = "done"
		}
		things = append(things, t)
	}
	return things
}

func findingThings(r *rebuild.Rebuild, critical map[int64]bool) []gate.Thing {
	states, about, stopped := r.FindingStates(), classesOfFindings(r), stoppedFor(r)
	told := toldByWords(r)
	things := make([]gate.Thing, 0, len(r.Findings))
	for i := range r.Findings {
		f := &r.Findings[i]
		t := gate.Thing{Kind: "finding", ID: f.ID, Title: f.What, State: string(states[f.ID])}
		lives := f.Severity == rebuild.Danger || f.Severity == rebuild.Major && (f.Safety || told[f.ID] != string(rebuild.SafetyNone))
		t.Marks = marked(map[string]bool{"critical": critical[f.ID], "danger": f.Severity == rebuild.Danger, "at a stop": stopped[f.ID], "lives": lives})
		if lives {
			t.Class = about[f.ID]
			t.Why = classReason(t.Class)
		}
		things = append(things, t)
	}
	return things
}

// proveStage is the place in [rebuild.StagePlaces] after which paint comes.
const proveStage = 7

func jobThings(r *rebuild.Rebuild, critical map[int64]bool) []gate.Thing {
	things := make([]gate.Thing, 0, len(r.Jobs))
	for i := range r.Jobs {
		j := &r.Jobs[i]
		class := classOfJob(j)
		lives := safetyJob(j, critical) || class != string(rebuild.SafetyNone)
		things = append(things, gate.Thing{
			Kind: "job", ID: j.ID, Title: j.Title, State: string(j.State), Class: class, Why: jobStateWords(j),
			Marks: marked(map[string]bool{"critical": lives, "before paint": j.Stage >= 1 && j.Stage <= proveStage}),
		})
	}
	return things
}

// jobStateWords say where a job stands so that "is" can come before them.
func jobStateWords(j *rebuild.Job) string {
	switch {
	case j.State == rebuild.JobDoing:
		return "under way"
	case j.State == rebuild.JobWaiting && j.WaitingFor != "":
		return "waiting for " + j.WaitingFor
	}
	return string(j.State)
}

func jointThings(r *rebuild.Rebuild, today string) []gate.Thing {
	things := make([]gate.Thing, 0, len(r.Joints))
	stands := r.JointStands()
	for i := range r.Joints {
		j := &r.Joints[i]
		stand := stands.Of(*j, today)
		t := gate.Thing{Kind: "joint", ID: j.ID, Title: j.Title, State: string(stand.State), Class: classOfJoint(j), Why: strings.Join(stand.Why, "; ")}
		t.Marks = marked(map[string]bool{"retorque due": stand.RetorqueDue})
		if stand.Proven() {
			t.Why = stand.Retorque
		}
		things = append(things, t)
	}
	return things
}

func caseThings(r *rebuild.Rebuild, critical map[int64]bool) []gate.Thing {
	var things []gate.Thing
	for i := range r.Cases {
		k := &r.Cases[i]
		lives := slices.ContainsFunc(k.Findings, func(id int64) bool { return critical[id] }) ||
			slices.ContainsFunc(k.Jobs, func(id int64) bool { j := r.Job(id); return j != nil && safetyJob(j, critical) })
		things = append(things, gate.Thing{Kind: "case", ID: k.ID, Title: fmt.Sprintf("%q", k.Title), State: string(k.State), Marks: marked(map[string]bool{"critical": lives})})
	}
	return things
}

// stripThings are what is off, and what is left over of what is back.
func stripThings(r *rebuild.Rebuild) []gate.Thing {
	var things []gate.Thing
	for _, s := range r.StillOff("") {
		things = append(things, offThing(r, s))
	}
	left := r.LeftOver()
	fasteners, connectors := 0, 0
	for _, b := range left.Bags {
		if !b.Item.Off() {
			fasteners += b.Set.Count
		}
	}
	for _, k := range left.Connectors {
		if !k.Item.Off() {
			connectors++
		}
	}
	if fasteners > 0 {
		things = append(things, gate.Thing{Kind: "left over", Key: "fasteners", State: "there", Title: count(fasteners, "fastener is", "fasteners are") + " still in the bags of things that are back"})
	}
	if connectors > 0 {
		things = append(things, gate.Thing{Kind: "left over", Key: "connectors", State: "there", Title: count(connectors, "connector of things that are back is", "connectors of things that are back are") + " not made again"})
	}
	return things
}

// GateCautions are the cautions for the hazards that the work on a rebuild meets,
// and for the drive.
func GateCautions(r *rebuild.Rebuild) []knowledge.Caution {
	meets := map[string]bool{"road-test": true}
	for i := range r.Jobs {
		if j := &r.Jobs[i]; j.State != rebuild.JobDropped {
			for _, c := range knowledge.CautionsAt("", classOfJob(j)) {
				meets[c.Hazard] = true
			}
			if route := j.ChosenRoute(); route != nil && route.Method == rebuild.MethodWelded {
				meets["welding"] = true
			}
		}
	}
	for i := range r.Strip {
		for _, c := range knowledge.CautionsAt(r.Strip[i].Zone, "") {
			meets[c.Hazard] = true
		}
	}
	return slices.DeleteFunc(knowledge.Cautions(), func(c knowledge.Caution) bool { return !meets[c.Hazard] })
}

func cautionThings(r *rebuild.Rebuild) []gate.Thing {
	var things []gate.Thing
	for _, c := range GateCautions(r) {
		t := gate.Thing{Kind: "caution", Key: c.Hazard, Title: c.Name, State: "not read"}
		if r.Confirmation(rebuild.ConfirmCaution, c.Hazard) != nil {
			t.State = "read"
		}
		things = append(things, t)
	}
	return things
}

// MustDo is something that the law asks for at a gate.
type MustDo struct {
	Key    string
	Text   string
	Source string
	At     []string // road, inspection, hand-over
}

// MustDos are what the place and the story of a car ask for.
func MustDos(r *rebuild.Rebuild, today string) []MustDo {
	var list []MustDo
	for _, m := range knowledge.MustDosFor(r.Car.Jurisdiction) {
		list = append(list, MustDo{m.Key, m.Text, m.Refs.String(), m.At})
	}
	var a Appraised
	if a.read(r, today); a.Story == nil {
		return list
	}
	for _, d := range a.Story.MustDo {
		sum := sha256.Sum256([]byte(d.Text))
		list = append(list, MustDo{"law-" + hex.EncodeToString(sum[:])[:12], d.Text, d.Source, []string{"hand-over"}})
	}
	return list
}

func mustDoThings(r *rebuild.Rebuild, today string) []gate.Thing {
	var things []gate.Thing
	for _, m := range MustDos(r, today) {
		t := gate.Thing{Kind: "must-do", Key: m.Key, Title: m.Text, State: "not confirmed", Marks: m.At}
		if r.Confirmation(rebuild.ConfirmMustDo, m.Key) != nil {
			t.State = "confirmed"
		}
		things = append(things, t)
	}
	return things
}

func shakedownThings(r *rebuild.Rebuild) []gate.Thing {
	var things []gate.Thing
	for _, s := range knowledge.ShakedownPlan() {
		things = append(things, gate.Thing{Kind: "shakedown stage", Key: s.Key, Title: fmt.Sprintf("The stage %q", s.Name), State: stageState(r, rebuild.ShakedownStage(s.Key))})
	}
	return things
}

// inspectionThings are what failed at the rehearsal, each, and how many items
// nobody looked at, together; and the official test.
func inspectionThings(r *rebuild.Rebuild) []gate.Thing {
	var things []gate.Thing
	unseen := 0
	book := changesOf(r)
	for _, it := range knowledge.InspectionItems() {
		h := r.RehearsedItem(it.Key)
		line := InspectionLine{InspectionItem: it, Seen: h, CheckKey: it.CheckAt(r.Car.Jurisdiction)}
		book.put(&line)
		switch {
		case !line.Counts():
			unseen++
		case h.Result == rebuild.ItemFail:
			t := gate.Thing{Kind: "inspection item", ID: h.ID, Key: it.Key, Title: it.Name, State: "fail"}
			if h.Note != "" {
				t.Why = ": " + h.Note
			}
			things = append(things, t)
		}
	}
	if unseen > 0 {
		were := "were"
		if unseen == 1 {
			were = "was"
		}
		things = append(things, gate.Thing{Kind: "inspection item", Key: "unseen", Title: count(unseen, "item", "items"), State: "not looked at", Why: were})
	}
	return append(things, officialThing(r))
}

func officialThing(r *rebuild.Rebuild) gate.Thing {
	t := gate.Thing{Kind: "official test", Title: "The official test", State: "none", Why: "none is entered"}
	var last *rebuild.OfficialTest
	for i := range r.OfficialTests {
		if o := &r.OfficialTests[i]; last == nil || o.On >= last.On {
			last = o
		}
	}
	if last != nil {
		t.ID, t.State = last.ID, string(last.Result)
		t.Why = fmt.Sprintf("that of %s ended with: %s", last.On, last.Result)
	}
	return t
}
