package knowledge

import "testing"

// The quick set is what five lines need: a pair at the front, in the middle and at
// the rear; every larger set holds the smaller ones.
func TestSetsOfSurveyPoints(t *testing.T) {
	whole, short, quick := SurveyPoints("whole"), SurveyPoints("short"), SurveyPoints("quick")
	if len(quick) != 3 || len(short) < 6 || len(whole) < 12 || len(whole) != len(SurveyPoints("")) {
		t.Fatalf("%d, %d and %d pairs", len(whole), len(short), len(quick))
	}
	in := map[string]bool{}
	for _, p := range short {
		in[p.Key] = true
	}
	for _, p := range quick {
		if !in[p.Key] {
			t.Errorf("%s is in the quick set alone", p.Key)
		}
	}
	whole[0].Sets[0] = "spoilt"
	if SurveyPoints("whole")[0].Sets[0] == "spoilt" {
		t.Error("a caller can change the list")
	}
}

func TestASurveyPointIsRefused(t *testing.T) {
	good := SurveyPoints("")[0]
	for name, spoil := range map[string]func(*SurveyPoint){
		"right":       func(p *SurveyPoint) { p.YMm = -1 },
		"unknown set": func(p *SurveyPoint) { p.Sets = []string{"all"} },
		"no set":      func(p *SurveyPoint) { p.Sets = nil },
		"no name":     func(p *SurveyPoint) { p.Name = "" },
		"no source":   func(p *SurveyPoint) { p.Refs = nil },
	} {
		bad := good
		spoil(&bad)
		if checkSurveyPoints([]SurveyPoint{bad}) == nil {
			t.Errorf("%s: taken", name)
		}
	}
	if checkSurveyPoints([]SurveyPoint{good, good}) == nil {
		t.Error("twice: taken")
	}
}
