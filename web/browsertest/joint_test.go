package browsertest

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// fasten enters an invented joint on which lives hang.
func (c *car) fasten(change ...func(*rebuild.Joint)) string {
	j := rebuild.Joint{
		Title: "Caliper bracket", Zone: "front-left-corner", Safety: rebuild.SafetyBrake, Thread: "M12x1.5-10.9", Count: 2,
		TorqueNm: 115, ToleranceNm: 8, Passes: []float64{60}, Source: rebuild.SourceMaker, SourceWhere: "Invented manual, 34-08", Lubricant: "dry", Locking: rebuild.LockPaintMark,
	}
	for _, f := range change {
		f(&j)
	}
	return c.path(fmt.Sprintf("/joints/%d", c.do(func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddJoint(j) })))
}

func (c *car) wrench(t rebuild.Tool) int64 {
	return c.do(func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddTool(t) })
}

// A joint from its figure to its proof, and open again once what it holds comes off:
// by thumb, with scripts and without.
func TestJointStory(t *testing.T) {
	t.Run("with scripts", func(t *testing.T) { t.Parallel(); jointStory(t, true) })
	t.Run("without scripts", func(t *testing.T) { t.Parallel(); jointStory(t, false) })
}

func jointStory(t *testing.T, scripts bool) {
	s := serve(t)
	car := startEmpty(t, s)
	tool := car.wrench(rebuild.Tool{Title: "Click wrench", Class: "4 %", LowNm: 40, HighNm: 210, CalibratedOn: "2026-01-10"})
	b := newTab(t, s)
	b.width(phone)
	if !scripts {
		b.noScripts()
	}
	b.open(car.path("/joints"), http.StatusOK)
	b.press(`.empty a.button`)
	b.write("#title", "Caliper bracket")
	b.pick("safety", "brake")
	b.write("#thread", "M12x1.5-10.9")
	b.write("#torque", "85")
	b.write("#tolerance", "6")
	b.choose("#unit", "lbf-ft")
	b.write("#passes", "40")
	b.pick("source", "maker's manual")
	b.write("#source_where", "Invented manual, 34-08")
	b.press(`form[data-draft] .actions button`)
	b.holds(".did", "added the joint")
	b.holds("main", "Not tightened yet", "115.2", "85 lbf·ft", "Invented manual, 34-08")
	page := b.where()
	page, _, _ = strings.Cut(page, "?")
	b.press(`.joint-stand a.button`)
	if scripts && !ask[bool](b, `document.querySelector('input[name="step"][value="2"]').disabled`) {
		t.Error("the second pass can be ticked before the first")
	}
	b.click(`.step:has([value="1"])`)
	b.click(`.step:has([value="2"])`)
	b.pick("tool", fmt.Sprint(tool))
	b.write("#who", "Kim")
	b.press(".tighten-save")
	b.holds(".did", "tightened the joint")
	b.holds(".joint-stand", "Not proven yet", "no second person has checked it")
	b.write("#second_by", "Robin")
	b.press(`.joint-check > form button`)
	b.holds(".joint-stand", "Proven", "By Kim, checked by Robin")
	j := car.now().Joints[0]
	if len(j.Tightenings) != 1 || j.Tightenings[0].Passes != 2 || j.Tightenings[0].SecondBy != "Robin" {
		t.Errorf("kept %+v", j.Tightenings)
	}
	b.open(car.path("/joints"), http.StatusOK)
	b.holds(".joints-count", "1 of 1")
	car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddStripItem(rebuild.StripItem{At: "2026-05-04T13:00:00Z", What: "Caliper", Joints: []int64{j.ID}})
	})
	b.open(page, http.StatusOK)
	b.holds(".joint-stand", "Undone")
	b.holds(".joint-trail", "as it came off", "Caliper")
	b.open(car.path("/now"), http.StatusOK)
	b.holds("#safe", "1 safety joint not proven")
}

// Every page of joints and tools in its states is held against the accessibility
// rules.
func TestJointsAreAccessible(t *testing.T) {
	source := needAxe(t)
	s := serve(t)
	car := fill(t, s)
	fit := car.wrench(rebuild.Tool{Title: "Click wrench", Class: "4 %", LowNm: 40, HighNm: 210, CalibratedOn: "2026-01-10", Certificate: "No. 4"})
	car.wrench(rebuild.Tool{Title: "Small wrench with-a-very-long-name-that-cannot-be-broken-0000000000000000", Class: "6 %", LowNm: 5, HighNm: 25, CalibratedOn: "2024-01-10"})
	at := "2026-05-02T10:00:00Z"
	open := car.fasten(func(j *rebuild.Joint) {
		j.Title = "A joint with-a-very-long-name-that-cannot-be-broken-00000000000000000000000"
		j.AngleDeg, j.OneTime, j.Jobs, j.Note = 90, true, []int64{car.upright}, "At ride height"
	})
	wheel := car.fasten(func(j *rebuild.Joint) {
		j.Title, j.Count, j.RetorqueAfterKm, j.Locking = "Wheel bolts", 5, 80, rebuild.LockNone
		j.Tightenings = []rebuild.Tightening{{At: at, Who: "Kim", Tool: fit, TorqueNm: 115, Passes: 2, Photos: []rebuild.Attachment{car.photo("corner.png")}, Note: "Dry"}}
	})
	proven := car.fasten(func(j *rebuild.Joint) {
		j.Title, j.Zone = "Caliper bracket, right", "front-right-corner"
		j.Tightenings = []rebuild.Tightening{{At: at, Who: "Kim", Tool: fit, TorqueNm: 115, Passes: 2, Locked: true, Alone: "Nobody near"}}
	})
	wild := car.fasten(func(j *rebuild.Joint) { j.Title, j.Thread, j.Source = "Too much for it", "M8-8.8", "" })
	lookAtAll(t, s, source, []visit{
		{name: "joints", path: car.path("/joints"), status: http.StatusOK},
		{name: "joint, never tightened, with an angle", path: open + "?grip_mm=40", status: http.StatusOK, brief: true},
		{name: "joint, wanting the second person", path: wheel, status: http.StatusOK},
		{name: "joint, proven alone", path: proven, status: http.StatusOK, brief: true},
		{name: "joint that breaks its bolt", path: wild, status: http.StatusOK, brief: true},
		{name: "tightening", path: open + "/tighten", status: http.StatusOK},
		{name: "tightening a wheel", path: wheel + "/tighten", status: http.StatusOK, brief: true},
		{name: "tightening too much", path: wild + "/tighten", status: http.StatusOK, brief: true},
		{name: "tightening, refused", path: open + "/tighten", status: http.StatusUnprocessableEntity, brief: true, before: func(b *tab) {
			b.write("#who", "Kim")
			b.press(".tighten-save")
			b.holds("#problems", "tick what was done")
		}},
		{name: "joint form", path: open + "/edit", status: http.StatusOK, brief: true},
		{name: "new joint", path: car.path("/joints/new"), status: http.StatusOK, brief: true},
		{name: "tightening sheet", path: car.path("/joints/sheet?all=1"), status: http.StatusOK, brief: true},
		{name: "tools", path: car.path("/tools"), status: http.StatusOK, brief: true},
		{name: "tool", path: car.path(fmt.Sprintf("/tools/%d", fit)), status: http.StatusOK, brief: true},
		{name: "job with joints", path: car.path(fmt.Sprintf("/jobs/%d", car.upright)), status: http.StatusOK, brief: true},
		{name: "bolt calculator", path: car.path("/bench/joint?thread=M10-8.8&torque=48&lubricant=dry&engagement_mm=12&into=aluminium-cast"), status: http.StatusOK},
		{name: "bolt calculator, refused", path: car.path("/bench/joint?thread=M10x3&torque=48"), status: http.StatusUnprocessableEntity, brief: true},
		{name: "bond calculator", path: car.path("/bench/bond?reckon=1&holds=washer+bottle+bracket&layout=single&load_n=60&width_mm=25&overlap_mm=20&bond_mm=0.3&first.material=aluminium&first.thickness_mm=2&second.material=aluminium&second.thickness_mm=2&kind=polyurethane&shear_strength_mpa=20&shear_modulus_mpa=900&preparation=abraded&service=wet&hottest_c=50"), status: http.StatusOK, brief: true},
		{name: "bond calculator, refusing", path: car.path("/bench/bond?reckon=1&holds=brake+hose&layout=single&hottest_c=50"), status: http.StatusOK, brief: true},
	})
}
