package web

import (
	"math"
	"net/http"
	"net/url"
	"strconv"
	"testing"

	"wreckwright/rebuild"
)

// onGrid is where a browser puts a slider: held to its bounds, on the nearest
// step counted from the lowest value, up from half-way: the HTML standard's
// value sanitisation of a range input, from memory.
func onGrid(s slider) float64 {
	v := min(max(s.Value, s.Min), s.Max)
	return min(s.Min+math.Floor((v-s.Min)/s.Step+0.5)*s.Step, s.Max)
}

// A form that is sent as it came moves nothing, whatever the figures are; one
// step does.
func TestSlidersThatNobodyMoved(t *testing.T) {
	for _, c := range []struct {
		currency, ceiling, hour string
		correlation             float64
	}{
		{"GBP", "38000", "22.50", 0.25},
		{"GBP", "37949.99", "12.34", 0.33},
		{"SEK", "412345", "350", 0.6},
		{"JPY", "5123456", "3200", 0.95},
		{"GBP", "7", "", 0},
	} {
		rb := &rebuild.Rebuild{}
		f := &Form{}
		f.Set("ceiling", c.ceiling)
		f.Set("hour", c.hour)
		rb.Car = rebuild.Car{Currency: c.currency, Correlation: c.correlation, Ceiling: f.money("ceiling", "", c.currency), HourValue: f.money("hour", "", c.currency)}
		for _, s := range sliders(rb) {
			sent := onGrid(s)
			if still := s; still.read(s.Show(sent)) || still.Value != s.Neutral {
				t.Errorf("%+v: %s, sent as %v by the browser, counts as moved to %v", c, s.Name, sent, still.Value)
			}
			step := sent + s.Step
			if step > s.Max {
				step = sent - s.Step
			}
			if moved := s; !moved.read(s.Show(step)) {
				t.Errorf("%+v: %s, moved from %v to %v, counts as not moved", c, s.Name, s.Value, step)
			}
		}
	}
}

func TestWhatIfWithoutAMove(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.post(g.path("/car"), url.Values{"rev": {"0"}, "name": {"Skua"}, "hour_value": {"350"}, "correlation": {"0.33"}}), http.StatusSeeOther)
	at := g.path("/money/what-if?costs=0&hidden=0&common=" + strconv.FormatFloat(0.35, 'f', -1, 64) + "&hour=350&job=")
	g.wants(g.get(at, "HX-Request", "true"), http.StatusOK, "Move a slider to see")
	g.wants(g.get(at+"nonsense", "HX-Request", "true"), http.StatusOK, "!Something went wrong")
	g.wants(g.get(g.path("/money/what-if?job=99:1"), "HX-Request", "true"), http.StatusOK, "there is no job 99", "!Then")
}
