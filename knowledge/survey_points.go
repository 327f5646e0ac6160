package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// SurveyPoint is a pair of points on a body that a tape reaches, by its left one.
// The place is that on a middling car: good for a drawing and the order of a
// list, not for a judgement.
type SurveyPoint struct {
	Key   string   `yaml:"key"`
	Name  string   `yaml:"name"`
	Touch string   `yaml:"touch"` // where the tape is held
	XMm   float64  `yaml:"x"`     // forward of the front axle
	YMm   float64  `yaml:"y"`     // left of the middle
	ZMm   float64  `yaml:"z"`     // over the ground
	Sets  []string `yaml:"sets"`
	Refs  Refs     `yaml:"ref"`
}

// SurveySets lists the sets of points, the largest first.
var SurveySets = []string{"whole", "short", "quick"}

// SurveyPoints lists the points of a set from front to rear; an empty set is all.
func SurveyPoints(set string) []SurveyPoint {
	var list []SurveyPoint
	for _, p := range surveyPoints() {
		if set == "" || slices.Contains(p.Sets, set) {
			p.Sets, p.Refs = slices.Clone(p.Sets), slices.Clone(p.Refs)
			list = append(list, p)
		}
	}
	return list
}

var surveyPoints = sync.OnceValue(func() []SurveyPoint { return load("survey_points.yaml", checkSurveyPoints) })

func checkSurveyPoints(list []SurveyPoint) error {
	for i, p := range list {
		if p.YMm <= 0 {
			return fmt.Errorf("%s: y %g; expected a left point, above 0", p.Key, p.YMm)
		}
		if i > 0 && p.XMm > list[i-1].XMm+1000 {
			return fmt.Errorf("%s: stands behind points far to its rear; expected front to rear", p.Key)
		}
		for _, s := range p.Sets {
			if !slices.Contains(SurveySets, s) {
				return fmt.Errorf("%s: set %q; expected one of %v", p.Key, s, SurveySets)
			}
		}
		if len(p.Sets) == 0 {
			return fmt.Errorf("%s: is in no set", p.Key)
		}
	}
	return checkEntries(list, func(p SurveyPoint) entry {
		return entry{key: p.Key, texts: []string{p.Name, p.Touch}, refs: p.Refs}
	})
}
