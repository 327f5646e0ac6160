package knowledge

import (
	"fmt"
	"slices"
	"strings"
	"sync"
)

// DamageJob is a job that a kind of damage suggests. Its figures are own
// estimates in [EstimateCurrency], there to be changed.
type DamageJob struct {
	Key    string        `yaml:"key"`
	Title  string        `yaml:"title"` // may hold {zone} and {side}
	Class  string        `yaml:"class"` // one of rebuild.SafetyClasses
	Stage  string        `yaml:"stage"` // key of rebuild.StagePlaces
	Once   bool          `yaml:"once"`  // one such job serves the whole car
	Routes []DamageRoute `yaml:"routes"`
	Refs   Refs          `yaml:"ref"`
}

// DamageRoute is one way to do such a job.
type DamageRoute struct {
	Kind     string          `yaml:"kind"`   // one of rebuild.RouteKinds
	Method   string          `yaml:"method"` // one of rebuild.Methods
	Name     string          `yaml:"name"`
	Cost     Figures         `yaml:"cost"`
	Hours    Figures         `yaml:"hours"`
	Works    *float64        `yaml:"works"` // chance that it works; nil: certain
	Fallback *DamageFallback `yaml:"fallback"`
}

// DamageFallback is what is paid on top where a route does not work.
type DamageFallback struct {
	Name  string  `yaml:"name"`
	Cost  Figures `yaml:"cost"`
	Hours Figures `yaml:"hours"`
}

// Figures are a range: one time in ten lower, as likely over as under, one time
// in ten higher.
type Figures [3]float64

// EstimateCurrency is the currency of the own estimates.
const EstimateCurrency = "GBP"

// DamageJobs lists the jobs that damage suggests.
func DamageJobs() []DamageJob {
	list := slices.Clone(damageJobs())
	for i := range list {
		list[i] = list[i].copied()
	}
	return list
}

// DamageJobFor finds a job by its key.
func DamageJobFor(key string) (DamageJob, bool) {
	list := damageJobs()
	i := slices.IndexFunc(list, func(j DamageJob) bool { return j.Key == key })
	if i < 0 {
		return DamageJob{}, false
	}
	return list[i].copied(), true
}

func (j DamageJob) copied() DamageJob {
	j.Refs, j.Routes = slices.Clone(j.Refs), slices.Clone(j.Routes)
	for i := range j.Routes {
		r := &j.Routes[i]
		if r.Works != nil {
			r.Works = new(*r.Works)
		}
		if r.Fallback != nil {
			r.Fallback = new(*r.Fallback)
		}
	}
	return j
}

var damageJobs = sync.OnceValue(func() []DamageJob { return load("damage_jobs.yaml", checkDamageJobs) })

func checkDamageJobs(list []DamageJob) error {
	for _, j := range list {
		if len(j.Routes) < 1 || len(j.Routes) > 3 {
			return fmt.Errorf("%s: has %d routes; expected one to three", j.Key, len(j.Routes))
		}
		if j.Once && strings.Contains(j.Title, "{") {
			return fmt.Errorf("%s: serves the whole car, so its title cannot name a place", j.Key)
		}
		for _, r := range j.Routes {
			if err := r.check(); err != nil {
				return fmt.Errorf("%s: route %q: %w", j.Key, r.Name, err)
			}
		}
	}
	return checkEntries(list, func(j DamageJob) entry {
		return entry{j.Key, []string{j.Title, j.Class, j.Stage}, j.Refs}
	})
}

func (r DamageRoute) check() error {
	switch {
	case r.Kind == "" || r.Method == "" || r.Name == "":
		return fmt.Errorf("its kind, method or name is missing")
	case r.Works != nil && (*r.Works <= 0 || *r.Works >= 1):
		return fmt.Errorf("works %g: expected a chance between 0 and 1; leave it out where the route is certain", *r.Works)
	case (r.Works != nil) != (r.Fallback != nil):
		return fmt.Errorf("a route has either both or none of works and fallback")
	}
	ranges := []Figures{r.Cost, r.Hours}
	if r.Fallback != nil {
		if r.Fallback.Name == "" {
			return fmt.Errorf("its fallback has no name")
		}
		ranges = append(ranges, r.Fallback.Cost, r.Fallback.Hours)
	}
	for _, f := range ranges {
		if err := f.check(); err != nil {
			return err
		}
	}
	return nil
}

func (f Figures) check() error {
	if f[0] < 0 || f[0] > f[1] || f[1] > f[2] {
		return fmt.Errorf("the figures %v: expected 0 <= low <= likely <= high", [3]float64(f))
	}
	return nil
}
