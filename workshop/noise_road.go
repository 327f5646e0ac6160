package workshop

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/bench/noise"
	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// RoadAnswer is what recorded road tests say to one test of a diagnosis.
type RoadAnswer struct {
	Test       string    // of the case, or of the fault model of knowledge where the case has none such
	InCase     bool      // the case has that test
	Outcome    string    // of the test, where it is decided: to be entered as a step with its measurement
	Likelihood []float64 // by fault of the case, up to a common factor: what is left where it is not
	Decided    bool
	Name, Why  string
}

// roadModel is the fault model whose tests the road tests answer.
const roadModel = "hum-with-speed"

// The tests of that model, and how the recorded outcomes are called there.
const (
	testBend    = "bend"
	testCoast   = "coast"
	testSurface = "surface"
)

// roadDecided is by how much an outcome must lead to be entered as one.
//
// ref: DESIGN_ROAD_TESTS
const roadDecided = 10.0

// RoadAnswers is what the road tests say to a case: to each of its tests the
// chance of what was measured under each outcome, carried to the faults by the
// case's own table (else by that of the fault model "hum that grows with speed",
// faults of one name being the same). Tests that say nothing are left out.
func RoadAnswers(c diagnose.Case, road noise.Road) []RoadAnswer {
	var list []RoadAnswer
	for _, heard := range []struct {
		test, name string
		likely     map[string]float64
		why        string
	}{
		{testBend, "Weave, recorded", bendLikely(road), whyOf(road, noise.TestWeave)},
		{testCoast, "Neutral and throttle, recorded", coastLikely(road), whyOf(road, noise.TestNeutral, noise.TestTorque)},
		{testSurface, "Other surface, recorded", outcomesOf(road, noise.TestSurface), whyOf(road, noise.TestSurface)},
	} {
		if len(heard.likely) == 0 {
			continue
		}
		a := RoadAnswer{Test: heard.test, Name: heard.name, Why: heard.why}
		if !a.weigh(c, heard.likely) {
			continue
		}
		if heard.test == testBend {
			a.weighCorners(c, road)
		}
		list = append(list, a)
	}
	return list
}

// RoadEvidence is the same as evidence of a diagnosis: an outcome of a test where
// it is decided and the case has that test, else a likelihood.
func RoadEvidence(c diagnose.Case, road noise.Road) []diagnose.Evidence {
	var list []diagnose.Evidence
	for _, a := range RoadAnswers(c, road) {
		if a.InCase && a.Decided {
			list = append(list, diagnose.Evidence{Test: a.Test, Outcome: a.Outcome})
			continue
		}
		list = append(list, diagnose.Evidence{Likelihood: a.Likelihood, Note: a.Name + ": " + a.Why})
	}
	return list
}

func roadTestOf(road noise.Road, name string) *noise.RoadTest {
	for i := range road.Tests {
		if road.Tests[i].Name == name && len(road.Tests[i].Likely) > 0 {
			return &road.Tests[i]
		}
	}
	return nil
}

func whyOf(road noise.Road, names ...string) string {
	var said []string
	for _, n := range names {
		if t := roadTestOf(road, n); t != nil {
			said = append(said, t.Why)
		}
	}
	return strings.Join(said, "; ")
}

// outcomesOf are the likelihoods of a test by the name of the outcome.
func outcomesOf(road noise.Road, name string) map[string]float64 {
	t := roadTestOf(road, name)
	if t == nil {
		return nil
	}
	likely := map[string]float64{}
	for _, o := range t.Likely {
		likely[o.Name] = o.Likelihood
	}
	return likely
}

// bendLikely joins both sides: either is "louder".
func bendLikely(road noise.Road) map[string]float64 {
	o := outcomesOf(road, noise.TestWeave)
	if o == nil {
		return nil
	}
	return map[string]float64{"louder": (o[noise.LouderLeft] + o[noise.LouderRight]) / 2, "same": o[noise.Same]}
}

// coastLikely joins neutral and throttle, which the model asks as one: what is
// gone in neutral, and what changes there or with the throttle, may do either in
// the other. "Same" must be so in both.
func coastLikely(road noise.Road) map[string]float64 {
	neutral, torque := outcomesOf(road, noise.TestNeutral), outcomesOf(road, noise.TestTorque)
	switch {
	case neutral == nil && torque == nil:
		return nil
	case torque == nil:
		return neutral
	case neutral == nil:
		// Where it was not tried whether it is gone in neutral, one that changes with
		// the throttle may be either.
		return map[string]float64{"changes": torque[noise.Changes], "gone": torque[noise.Changes], "same": torque[noise.Same]}
	}
	anyTorque := (torque[noise.Changes] + torque[noise.Same]) / 2
	changed := (neutral[noise.Changes]*anyTorque + neutral[noise.Same]*torque[noise.Changes]) / 2
	return map[string]float64{"changes": changed, "gone": neutral[noise.Gone] * anyTorque, "same": neutral[noise.Same] * torque[noise.Same]}
}

// weigh carries the likelihoods of the outcomes to the faults; false where
// neither the case nor the model has a table for them.
func (a *RoadAnswer) weigh(c diagnose.Case, likely map[string]float64) bool {
	from, at := c, testAt(&c, a.Test)
	if a.InCase = at >= 0 && hasOutcomes(&c.Tests[at], likely); !a.InCase {
		model, err := humModel()
		if err != nil {
			return false
		}
		if from, at = model, testAt(&model, a.Test); at < 0 {
			return false
		}
	}
	test := &from.Tests[at]
	a.Likelihood = make([]float64, len(c.Faults))
	for f := range c.Faults {
		row := f
		if !a.InCase {
			row = likeFault(&from, c.Faults[f].ID)
		}
		for o, name := range test.Outcomes {
			a.Likelihood[f] += test.Chance[row][o] * likely[name]
		}
	}
	best, second := 0.0, 0.0
	for _, name := range test.Outcomes {
		if l := likely[name]; l > best {
			best, second, a.Outcome = l, best, name
		} else if l > second {
			second = l
		}
	}
	if a.Decided = best >= roadDecided*second; !a.Decided {
		a.Outcome = ""
	}
	return best > 0 && scaled(a.Likelihood)
}

func hasOutcomes(t *diagnose.Test, likely map[string]float64) bool {
	for name := range likely {
		if !slices.Contains(t.Outcomes, name) {
			return false
		}
	}
	return len(t.Chance) > 0
}

// humModel is the fault model of knowledge.
func humModel() (diagnose.Case, error) {
	known, ok := knowledge.FaultModelFor(roadModel)
	if !ok {
		return diagnose.Case{}, fmt.Errorf("no fault model %q", roadModel)
	}
	model, err := faultmodel.Parse(known.Key, known.YAML)
	return model.Case, err
}

// bearing is the fault that a corner's own faults ("wheel_bearing_fl") are of.
const bearing = "wheel_bearing"

// likeFault is the row of the model's fault that is the same; one that it does not
// know is "other".
func likeFault(model *diagnose.Case, id string) int {
	if strings.HasPrefix(id, bearing) {
		id = bearing
	}
	if f := faultAt(model, id); f >= 0 {
		return f
	}
	return faultAt(model, "other")
}

// weighCorners parts the bearings of a case that lists them by corner. The
// outcome of the weave alone would not tell them apart, so that it stays a
// likelihood.
func (a *RoadAnswer) weighCorners(c diagnose.Case, road noise.Road) {
	corners := RoadCorners(road)
	if corners == nil {
		return
	}
	parted := false
	for f := range c.Faults {
		end, ok := strings.CutPrefix(c.Faults[f].ID, bearing+"_")
		if !ok {
			continue
		}
		share, n := 0.0, 0
		for _, corner := range corners {
			if cornerIn(corner.Corner, end) {
				share, n = share+corner.Chance, n+1
			}
		}
		if n > 0 {
			a.Likelihood[f] *= share / (float64(n) / float64(len(corners)))
			parted = true
		}
	}
	if parted {
		a.Decided, a.Outcome = false, ""
		scaled(a.Likelihood)
	}
}

// cornerIn reports whether a corner (FL) belongs to the end of a fault's ID: fl,
// front, left, front_left.
func cornerIn(corner, end string) bool {
	axle := map[byte]string{'F': "front", 'R': "rear"}[corner[0]]
	side := map[byte]string{'L': "left", 'R': "right"}[corner[1]]
	return slices.Contains([]string{strings.ToLower(corner), axle, side, axle + "_" + side}, end)
}

// scaled brings the largest to 1; false where all are 0.
func scaled(list []float64) bool {
	most := slices.Max(list)
	if !(most > 0) {
		return false
	}
	for i := range list {
		list[i] /= most
	}
	return true
}

// CornerChance is how likely a bearing's noise comes from a corner, given that it
// is a bearing's.
type CornerChance struct {
	Corner string // FL, FR, RL, RR
	Chance float64
}

// How a bearing answers a weave: mostly louder with load, now and then not at
// all, and a preloaded one of two rows may grow quieter.
//
// ref: DESIGN_ROAD_TESTS
const (
	louderLoaded  = 0.76
	quieterLoaded = 0.08
)

// RoadCorners is where a bearing's noise comes from, by the weave (its side) and
// the places of the phone; nil where neither says anything.
func RoadCorners(road noise.Road) []CornerChance {
	weave, place := outcomesOf(road, noise.TestWeave), outcomesOf(road, noise.TestPlace)
	if weave == nil && place == nil {
		return nil
	}
	list := make([]CornerChance, len(noise.Corners))
	total := 0.0
	for i, corner := range noise.Corners {
		chance := 1.0
		if weave != nil {
			loaded, eased := weave[noise.LouderLeft], weave[noise.LouderRight] // steering left loads the right side
			if corner[1] == 'L' {
				loaded, eased = eased, loaded
			}
			chance *= louderLoaded*loaded + quieterLoaded*eased + (1-louderLoaded-quieterLoaded)*weave[noise.Same]
		}
		if place != nil {
			chance *= place[corner]
		}
		list[i] = CornerChance{Corner: corner, Chance: chance}
		total += chance
	}
	if !(total > 0) {
		return nil
	}
	for i := range list {
		list[i].Chance /= total
	}
	return list
}

// figureNames are what the differences are called in a measurement.
var figureNames = map[string]string{
	noise.TestWeave:   "Left less right",
	noise.TestSurface: "Other surface less the first",
	noise.TestNeutral: "Neutral less in gear",
	noise.TestTorque:  "Pulling less foot off",
	noise.TestPlace:   "Loudest corner over the others",
}

// RoadFigures are the differences as figures of a measurement, with their 95 %
// interval, and the chances of the corners.
func RoadFigures(road noise.Road) []rebuild.EvidenceFigure {
	var list []rebuild.EvidenceFigure
	for _, t := range road.Tests {
		if len(t.Likely) == 0 {
			continue
		}
		low, high := t.DifferenceDB-uncertain.HalfOf95*t.SD, t.DifferenceDB+uncertain.HalfOf95*t.SD
		list = append(list, rebuild.EvidenceFigure{Name: figureNames[t.Name], Value: t.DifferenceDB, Low: &low, High: &high, Unit: "dB"})
	}
	for _, c := range RoadCorners(road) {
		list = append(list, rebuild.EvidenceFigure{Name: "From corner " + c.Corner + ", if a bearing", Value: 100 * c.Chance, Unit: "%"})
	}
	return list
}
