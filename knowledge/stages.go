package knowledge

import (
	"fmt"
	"slices"
	"sync"
)

// Stage is what one of the nine stages of a rebuild must get right.
type Stage struct {
	Number   int      `yaml:"-"`        // 1 to 9, the order of work
	Key      string   `yaml:"key"`      // as in rebuild.StagePlaces, which has the names
	Question string   `yaml:"question"` // what the stage answers
	Right    []string `yaml:"right"`    // what must be right before the next one
	Refs     Refs     `yaml:"ref"`
}

// Stages lists the nine stages in the order of work.
func Stages() []Stage {
	list := slices.Clone(stages())
	for i := range list {
		list[i].Number = i + 1
		list[i].Right = slices.Clone(list[i].Right)
		list[i].Refs = slices.Clone(list[i].Refs)
	}
	return list
}

var stages = sync.OnceValue(func() []Stage { return load("stages.yaml", checkStages) })

func checkStages(list []Stage) error {
	if len(list) != 9 {
		return fmt.Errorf("%d stages: a rebuild has nine", len(list))
	}
	for _, s := range list {
		if len(s.Right) == 0 {
			return fmt.Errorf("%s: says nothing that must be right", s.Key)
		}
	}
	return checkEntries(list, func(s Stage) entry {
		return entry{s.Key, append([]string{s.Question}, s.Right...), s.Refs}
	})
}
