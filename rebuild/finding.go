package rebuild

// Severity is how bad a finding is.
type Severity string

// The severities, mildest first.
const (
	Cosmetic Severity = "cosmetic" // looks only
	Minor    Severity = "minor"    // works, will not last
	Major    Severity = "major"    // does not work
	Danger   Severity = "danger"   // may hurt somebody as it is
)

// Severities lists them, mildest first.
var Severities = []Severity{Cosmetic, Minor, Major, Danger}

// HowFound is the way a finding came to light.
type HowFound string

// The ways of finding.
const (
	Seen      HowFound = "seen"
	Measured  HowFound = "measured"
	Heard     HowFound = "heard"
	FaultCode HowFound = "fault code"
	Stripped  HowFound = "when stripped"
	RoadTest  HowFound = "road test"
	Told      HowFound = "told" // by the seller, a report, a helper
)

// WaysOfFinding lists them.
var WaysOfFinding = []HowFound{Seen, Measured, Heard, FaultCode, Stripped, RoadTest, Told}

// Finding is something observed on the car.
type Finding struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Zone     string       `json:"zone"` // key of a ZonePlace
	What     string       `json:"what"` // what is seen, in the person's words
	HowFound HowFound     `json:"how_found"`
	Severity Severity     `json:"severity"`
	Safety   bool         `json:"safety"` // safety-critical
	On       string       `json:"on"`     // ISO date of the observation
	Photos   []Attachment `json:"photos"`
	// Dismissed says why nothing needs doing about it ("it is a shadow"); empty
	// while it stands.
	Dismissed string `json:"dismissed"`
}

// ItemKind is part of [Item].
func (f Finding) ItemKind() Kind { return KindFinding }

// ItemID is part of [Item].
func (f Finding) ItemID() int64 { return f.ID }

// Revision is part of [Item].
func (f Finding) Revision() int { return f.Rev }

// Label is part of [Item].
func (f Finding) Label() string { return f.What }

// Validate checks the finding by itself.
func (f Finding) Validate() error {
	var c checks
	if f.Zone == "" {
		c.that(false, "zone", "no zone is chosen; tap one on the drawing or pick it from the list")
	} else {
		c.that(zoneNumber(f.Zone) > 0, "zone", "there is no zone %q; tap one on the drawing or pick it from the list", f.Zone)
	}
	c.text(f.What, "what", "what is seen", 1, 500)
	c.oneOf(string(f.HowFound), "how_found", "how it was found", names(WaysOfFinding)...)
	c.oneOf(string(f.Severity), "severity", "how bad it is", names(Severities)...)
	c.date(f.On, "on", "the day it was found", true)
	c.attachments(f.Photos, "photos")
	c.text(f.Dismissed, "dismissed", "the reason", 0, 500)
	return c.err()
}

func names[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = string(s)
	}
	return out
}

// FindingState is where a finding stands, worked out from the jobs.
type FindingState string

// The states of a finding.
const (
	FindingOpen      FindingState = "open"      // no job settles it yet
	FindingPlanned   FindingState = "planned"   // a job will
	FindingSettled   FindingState = "settled"   // every job for it is done
	FindingDismissed FindingState = "dismissed" // nothing needs doing
)

// FindingStates works out the state of every finding.
func (r *Rebuild) FindingStates() map[int64]FindingState {
	states := make(map[int64]FindingState, len(r.Findings))
	for i := range r.Jobs {
		j := &r.Jobs[i]
		if j.State == JobDropped {
			continue
		}
		for _, id := range j.Findings {
			if !j.Finished() {
				states[id] = FindingPlanned
			} else if states[id] == "" {
				states[id] = FindingSettled
			}
		}
	}
	for i := range r.Findings {
		f := &r.Findings[i]
		if f.Dismissed != "" {
			states[f.ID] = FindingDismissed
		} else if states[f.ID] == "" {
			states[f.ID] = FindingOpen
		}
	}
	return states
}
