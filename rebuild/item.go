package rebuild

import (
	"encoding/json"
	"fmt"
)

// Kind names what sort of item an edit touches.
type Kind string

// The kinds of items.
const (
	KindCar     Kind = "car"
	KindZone    Kind = "zone"
	KindStage   Kind = "stage"
	KindFinding Kind = "finding"
	KindJob     Kind = "job"
	KindEntry   Kind = "entry"
	// KindEvidence is that of a measurement.
	KindEvidence Kind = "evidence"
	// KindCase is that of a diagnosis.
	KindCase Kind = "case"
	// KindStripItem is that of a thing that came off.
	KindStripItem Kind = "strip item"
	KindJoint     Kind = "joint"
	KindTool      Kind = "tool"
	KindGatePass  Kind = "gate pass"
	// KindShakedownRun is that of one stage of the first drives, done once.
	KindShakedownRun Kind = "shakedown run"
	// KindRehearsed is that of an item looked at before the inspection.
	KindRehearsed    Kind = "inspection item"
	KindOfficialTest Kind = "official test"
	// KindConfirmation is that of somebody's word for something.
	KindConfirmation Kind = "confirmation"
	// KindSheet is that of a measuring sheet.
	KindSheet     Kind = "measuring sheet"
	KindPerson    Kind = "person"
	KindThing     Kind = "shared thing"
	KindMilestone Kind = "milestone"
	// KindJobPlan is that of what the plan knows of a job.
	KindJobPlan  Kind = "job plan"
	KindDelivery Kind = "delivery"
	// KindTimetable is that of what holds for the whole plan.
	KindTimetable Kind = "timetable"
	// KindAppraisal is that of the one Appraisal.
	KindAppraisal Kind = "appraisal"
)

// Item is one of Car, Appraisal, Zone, Stage, Finding, Job, Entry, Evidence,
// Case, StripItem, Joint, Tool, GatePass, ShakedownRun, Rehearsed, OfficialTest,
// Confirmation, Sheet, Person, Thing, Milestone, JobPlan, Delivery, Timetable
// (values, not pointers).
type Item interface {
	ItemKind() Kind
	ItemID() int64
	Revision() int
	// Label is how a person would name it in the journal.
	Label() string
}

// DecodeItem reads an item that was written as JSON.
func DecodeItem(kind Kind, data []byte) (Item, error) {
	switch kind {
	case KindCar:
		return decode[Car](kind, data)
	case KindAppraisal:
		return decode[Appraisal](kind, data)
	case KindZone:
		return decode[Zone](kind, data)
	case KindStage:
		return decode[Stage](kind, data)
	case KindFinding:
		return decode[Finding](kind, data)
	case KindJob:
		return decode[Job](kind, data)
	case KindEntry:
		return decode[Entry](kind, data)
	case KindEvidence:
		return decode[Evidence](kind, data)
	case KindCase:
		return decode[Case](kind, data)
	case KindStripItem:
		return decode[StripItem](kind, data)
	case KindJoint:
		return decode[Joint](kind, data)
	case KindTool:
		return decode[Tool](kind, data)
	case KindGatePass:
		return decode[GatePass](kind, data)
	case KindShakedownRun:
		return decode[ShakedownRun](kind, data)
	case KindRehearsed:
		return decode[Rehearsed](kind, data)
	case KindOfficialTest:
		return decode[OfficialTest](kind, data)
	case KindConfirmation:
		return decode[Confirmation](kind, data)
	case KindSheet:
		return decode[Sheet](kind, data)
	case KindPerson:
		return decode[Person](kind, data)
	case KindThing:
		return decode[Thing](kind, data)
	case KindMilestone:
		return decode[Milestone](kind, data)
	case KindJobPlan:
		return decode[JobPlan](kind, data)
	case KindDelivery:
		return decode[Delivery](kind, data)
	case KindTimetable:
		return decode[Timetable](kind, data)
	}
	return nil, fmt.Errorf("unknown kind of item %q", kind)
}

func decode[T Item](kind Kind, data []byte) (Item, error) {
	var item T
	if err := json.Unmarshal(data, &item); err != nil {
		return nil, fmt.Errorf("reading a %s: %w", kind, err)
	}
	return tidy(item), nil
}

func withRevision(item Item, rev int) Item {
	switch v := item.(type) {
	case Car:
		v.Rev = rev
		return v
	case Appraisal:
		v.Rev = rev
		return v
	case Zone:
		v.Rev = rev
		return v
	case Stage:
		v.Rev = rev
		return v
	case Finding:
		v.Rev = rev
		return v
	case Job:
		v.Rev = rev
		return v
	case Entry:
		v.Rev = rev
		return v
	case Evidence:
		v.Rev = rev
		return v
	case Case:
		v.Rev = rev
		return v
	case StripItem:
		v.Rev = rev
		return v
	case Joint:
		v.Rev = rev
		return v
	case Tool:
		v.Rev = rev
		return v
	case GatePass:
		v.Rev = rev
		return v
	case ShakedownRun:
		v.Rev = rev
		return v
	case Rehearsed:
		v.Rev = rev
		return v
	case OfficialTest:
		v.Rev = rev
		return v
	case Confirmation:
		v.Rev = rev
		return v
	case Sheet:
		v.Rev = rev
		return v
	case Person:
		v.Rev = rev
		return v
	case Thing:
		v.Rev = rev
		return v
	case Milestone:
		v.Rev = rev
		return v
	case JobPlan:
		v.Rev = rev
		return v
	case Delivery:
		v.Rev = rev
		return v
	case Timetable:
		v.Rev = rev
		return v
	}
	return item
}
