package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// ShakedownStage is one stage of the first drives.
type ShakedownStage struct {
	Key     string   `yaml:"key"` // as in rebuild.ShakedownStages
	Name    string   `yaml:"name"`
	OnRoad  bool     `yaml:"on_road"` // it needs the road-test gate
	Km      float64  `yaml:"km"`      // about how far; 0: standing
	Minutes float64  `yaml:"minutes"` // about how long
	Do      []string `yaml:"do"`
	Feel    []string `yaml:"feel"` // how it should be
	Hear    []string `yaml:"hear"`
	Smell   []string `yaml:"smell"` // what to smell for
	Measure []string `yaml:"measure"`
	Stop    []string `yaml:"stop"` // at any of these
	Hazards []string `yaml:"hazards"`
	Refs    Refs     `yaml:"ref"`
}

// ShakedownPlan lists the stages in order. The lists in them are not to be altered.
func ShakedownPlan() []ShakedownStage { return slices.Clone(shakedownPlan()) }

// ShakedownStageFor finds a stage by its key.
func ShakedownStageFor(key string) (ShakedownStage, bool) {
	i := slices.IndexFunc(shakedownPlan(), func(s ShakedownStage) bool { return s.Key == key })
	if i < 0 {
		return ShakedownStage{}, false
	}
	return shakedownPlan()[i], true
}

var shakedownPlan = sync.OnceValue(func() []ShakedownStage { return load("shakedown.yaml", checkShakedown) })

func checkShakedown(list []ShakedownStage) error {
	for _, s := range list {
		if len(s.Do) == 0 || len(s.Stop) == 0 {
			return fmt.Errorf("%s: says nothing to do, or not when to stop", s.Key)
		}
		for _, h := range s.Hazards {
			if _, ok := CautionFor(h); !ok {
				return fmt.Errorf("%s: there is no caution for %q", s.Key, h)
			}
		}
	}
	return checkEntries(list, func(s ShakedownStage) entry { return entry{s.Key, []string{s.Name}, s.Refs} })
}
