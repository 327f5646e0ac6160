package workshop

import (
	"fmt"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// driven tells the drives of the shakedown, the rehearsal of the inspection and
// what the official tests found.
func (t *telling) driven() []buildfile.Block {
	return append(append(t.drives(), t.rehearsed()...), t.officialTests()...)
}

func (t *telling) drives() []buildfile.Block {
	if len(t.r.Shakedown) == 0 {
		return nil
	}
	table := buildfile.Table{Head: []string{"When", "Stage", "Driven", "By", "Result", "Felt, heard, smelt"}, Shares: []float64{2.2, 2.8, 1.6, 1.8, 1.6, 6.4}}
	var photos []buildfile.Photo
	for _, run := range t.r.Shakedown {
		said := []string{run.Felt, run.Heard, run.Smelt, run.Note}
		for _, id := range run.Findings {
			if f := t.r.Finding(id); f != nil {
				said = append(said, "found: "+f.What)
			}
		}
		for _, id := range run.Evidence {
			if e := t.r.EvidenceAt(id); e != nil {
				said = append(said, "measured: "+e.Title)
			}
		}
		result := "passed"
		if run.Result == rebuild.RunStop {
			result = "stopped"
		}
		table.Rows = append(table.Rows, []string{shortDay(run.At), StageName(run.Stage), t.drove(run.Km), run.By, result, sentences(said)})
		photos = append(photos, photosOf(run.Photos, "", StageName(run.Stage))...)
	}
	blocks := []buildfile.Block{{Heading: "Shakedown: the first drives, in stages"}, {Table: &table}}
	if len(photos) > 0 {
		blocks = append(blocks, buildfile.Block{Photos: photos})
	}
	return blocks
}

// drove shows a distance in the unit that the car counts in; none is empty.
func (t *telling) drove(km float64) string {
	unit := "km"
	if t.r.Car.DistanceUnit == "mi" {
		km, unit = km/rebuild.KmPerMile, "mi"
	}
	switch {
	case km == 0:
		return ""
	case km < 10:
		return fmt.Sprintf("%.1f %s", km, unit)
	}
	return fmt.Sprintf("%.0f %s", km, unit)
}

// rehearsed tells what was looked at before the official test, by how it came out.
func (t *telling) rehearsed() []buildfile.Block {
	if len(t.r.Rehearsal) == 0 {
		return nil
	}
	passed, rest := 0, []string{}
	for _, h := range t.r.Rehearsal {
		if h.Result == rebuild.ItemPass {
			passed++
			continue
		}
		rest = append(rest, sentences([]string{itemName(h.Key) + ": " + string(h.Result), h.Note}))
	}
	blocks := []buildfile.Block{
		{Heading: "The inspection rehearsed"},
		{Text: fmt.Sprintf("%s at home, by the list of the inspection, as it stands now: %d passed. It is no official test.", capitalFirst(count(len(t.r.Rehearsal), "item was looked at", "items were looked at")), passed)},
	}
	if len(rest) > 0 {
		blocks = append(blocks, buildfile.Block{List: rest})
	}
	return blocks
}

// itemName is what an item of the inspection is called.
func itemName(key string) string {
	if it, ok := knowledge.InspectionItemFor(key); ok {
		return it.Name
	}
	return firstOf(key, "Not on the list")
}

func (t *telling) officialTests() []buildfile.Block {
	var blocks []buildfile.Block
	for _, test := range t.r.OfficialTests {
		chance := ""
		if test.Chance != nil {
			chance = Percent(*test.Chance)
		}
		result := "passed"
		if test.Result == rebuild.TestFail {
			result = "failed"
		}
		var found []string
		passed := 0
		for _, item := range test.Items {
			if item.Found == rebuild.ItemPass {
				passed++
				continue
			}
			before := "not looked at before"
			if item.Rehearsed != "" {
				before = "at the rehearsal: " + string(item.Rehearsed)
			}
			found = append(found, strings.TrimSpace(fmt.Sprintf("%s: %s (%s). %s", itemName(item.Key), item.Found, before, sentences([]string{item.Text}))))
		}
		rest := ""
		if passed > 0 {
			rest = fmt.Sprintf("%d items that the rehearsal had looked at", passed)
		}
		blocks = append(
			blocks, buildfile.Block{Heading: "Official test of " + shortDay(test.On)},
			buildfile.Block{Facts: factsOf("Result", result, "Where", test.Where, "Chance of a pass that was expected", chance, "Passed without a word", rest, "Note", test.Note)},
		)
		if len(found) > 0 {
			blocks = append(blocks, buildfile.Block{List: found})
		}
		if photos := photosOf(test.Photos, "", "Paper of the official test"); len(photos) > 0 {
			blocks = append(blocks, buildfile.Block{Photos: photos})
		}
	}
	return blocks
}
