package rebuild

import (
	"fmt"
	"slices"
)

// CautionSeen keeps that somebody has read the caution for a hazard and works by
// it on this car.
type CautionSeen struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Hazard string `json:"hazard"` // key of a hazard
	At     string `json:"at"`     // RFC 3339
	By     string `json:"by"`
}

// ItemKind is part of [Item].
func (s CautionSeen) ItemKind() Kind { return KindCautionSeen }

// ItemID is part of [Item].
func (s CautionSeen) ItemID() int64 { return s.ID }

// Revision is part of [Item].
func (s CautionSeen) Revision() int { return s.Rev }

// Label is part of [Item].
func (s CautionSeen) Label() string { return s.Hazard }

// Validate checks it by itself.
func (s CautionSeen) Validate() error {
	var c checks
	c.text(s.Hazard, "hazard", "the hazard", 1, 60)
	c.moment(s.At, "at", "the moment the caution was read", true)
	c.text(s.By, "by", "who read the caution", 1, 80)
	return c.err()
}

// SeenCaution reports whether somebody has read the caution for the hazard.
func (r *Rebuild) SeenCaution(hazard string) *CautionSeen {
	i := slices.IndexFunc(r.CautionsSeen, func(s CautionSeen) bool { return s.Hazard == hazard })
	if i < 0 {
		return nil
	}
	return &r.CautionsSeen[i]
}

// SeeCautions keeps that the cautions for the hazards were read; those that were
// already are left as they stand. There must be one at least that was not.
func (r *Rebuild) SeeCautions(hazards []string, by, at string) (Change, error) {
	var c Change
	next := r.nextID()
	for i, h := range hazards {
		if r.SeenCaution(h) != nil || slices.Contains(hazards[:i], h) {
			continue
		}
		s := CautionSeen{ID: next, Hazard: h, At: at, By: by}
		if err := s.Validate(); err != nil {
			return Change{}, err
		}
		c.add(s)
		next++
	}
	switch len(c.Edits) {
	case 0:
		return Change{}, &Invalid{[]Problem{{"hazard", "there is no caution here that was not read yet"}}}
	case 1:
		c.What = fmt.Sprintf("read the caution on %s", short(c.Edits[0].After.Label()))
	default:
		c.What = fmt.Sprintf("read %d cautions", len(c.Edits))
	}
	c.nextID = next
	return c, nil
}
