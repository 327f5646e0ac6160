package diagnose

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// reference is one exactly solved problem of testdata.
type reference struct {
	Case     referenceCase `json:"case"`
	Expected struct {
		Optimal        float64            `json:"optimal"`
		ReplaceAll     float64            `json:"replace_all_cost"`
		Saving         float64            `json:"expected_saving"`
		First          [2]string          `json:"first"`
		FirstStepCosts map[string]float64 `json:"first_step_costs"`
		Others         map[string]float64 `json:"others"`
	} `json:"expected"`
}

type referenceCase struct {
	HourValue float64 `json:"hour_value"`
	Faults    []struct {
		ID    string  `json:"id"`
		Prior float64 `json:"prior"`
	} `json:"faults"`
	Tests []struct {
		ID       string                        `json:"id"`
		Cost     float64                       `json:"cost"`
		Minutes  float64                       `json:"minutes"`
		Outcomes map[string]map[string]float64 `json:"outcomes"`
		Measured map[string]struct {
			Median, Spread, Mean, SD float64
		} `json:"measured"`
	} `json:"tests"`
	Repairs []struct {
		ID      string             `json:"id"`
		Cost    float64            `json:"cost"`
		Minutes float64            `json:"minutes"`
		Fixes   map[string]float64 `json:"fixes"`
	} `json:"repairs"`
	ReplaceAll *struct {
		Cost    float64 `json:"cost"`
		Minutes float64 `json:"minutes"`
	} `json:"replace_all"`
}

func (r referenceCase) toCase() Case {
	c := Case{Currency: "EUR", HourValue: r.HourValue, Several: 1}
	for _, f := range r.Faults {
		c.Faults = append(c.Faults, Fault{ID: f.ID, Name: f.ID, Prior: f.Prior})
	}
	for _, t := range r.Tests {
		test := Test{ID: t.ID, Cost: t.Cost, Minutes: t.Minutes}
		for _, f := range c.Faults {
			m, ok := t.Measured[f.ID]
			switch {
			case ok && m.Median > 0:
				test.Measured = append(test.Measured, Reading{Lognormal, m.Median, m.Spread})
			case ok:
				test.Measured = append(test.Measured, Reading{Normal, m.Mean, m.SD})
			}
		}
		if test.Measured != nil {
			c.Tests = append(c.Tests, test)
			continue
		}
		for o := range t.Outcomes[c.Faults[0].ID] {
			test.Outcomes = append(test.Outcomes, o)
		}
		slices.Sort(test.Outcomes)
		for _, f := range c.Faults {
			var row []float64
			for _, o := range test.Outcomes {
				row = append(row, t.Outcomes[f.ID][o])
			}
			test.Chance = append(test.Chance, row)
		}
		c.Tests = append(c.Tests, test)
	}
	for _, r := range r.Repairs {
		repair := Repair{ID: r.ID, Cost: r.Cost, Minutes: r.Minutes}
		for _, f := range c.Faults {
			repair.Fixes = append(repair.Fixes, r.Fixes[f.ID])
		}
		c.Repairs = append(c.Repairs, repair)
	}
	if r.ReplaceAll != nil {
		c.ReplaceAll = &ReplaceAll{Cost: r.ReplaceAll.Cost, Minutes: r.ReplaceAll.Minutes}
	}
	return c
}

// readReference reads the problem whose file begins with name.
func readReference(t testing.TB, name string) (Case, reference) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("testdata", name+"-*.json"))
	if err != nil || len(files) != 1 {
		t.Fatalf("problem %s: %d files, %v", name, len(files), err)
	}
	data, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	return r.Case.toCase(), r
}
