package web

import (
	"net/http"
	"net/url"
	"strings"

	"wreckwright/bench/joint"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// jointBench is the calculator of bolted joints: what a torque does, or which
// torque a preload needs. Nothing is kept.
type jointBench struct {
	Frame
	Form      *Form
	Units     []Option
	Surfaces  []Option
	Finishes  []Option
	Methods   []Option
	Heads     []Option
	Nuts      []Option
	Materials []Option
	Said      *joint.Result
	Joint     *rebuild.Joint // that the calculator was opened from
	Keep      string         // address that makes a joint of it
}

func (s *Server) jointBenchShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Bolted joint", "bench", rb)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	page := newJointBench(frame, f)
	page.Joint = rb.Joint(f.whole("joint", "the joint"))
	status := http.StatusOK
	if f.Value("thread") != "" || r.URL.Query().Has("reckon") {
		if page.reckon(); len(f.Problems) > 0 {
			status = http.StatusUnprocessableEntity
		}
	}
	return s.show(w, status, "bench_joint", page)
}

func newJointBench(frame Frame, f *Form) jointBench {
	tables := workshop.JointTables()
	p := jointBench{Frame: frame, Form: f, Units: torqueUnitOptions()}
	p.Surfaces = []Option{{"", "Not said: lightly oiled"}}
	for _, x := range tables.Surfaces {
		p.Surfaces = append(p.Surfaces, Option{x.Key, capital(x.Name)})
	}
	p.Methods = []Option{{"", "Torque wrench, or torque and angle"}}
	for _, x := range tables.Methods {
		p.Methods = append(p.Methods, Option{x.Key, capital(x.Name)})
	}
	p.Materials = []Option{{"", "Not said"}}
	for _, x := range tables.Materials {
		p.Materials = append(p.Materials, Option{x.Key, capital(x.Name)})
	}
	p.Heads = []Option{{"", "Hexagon"}, {"flange", "Hexagon with flange"}, {"socket", "Hexagon socket"}, {"cone", "Conical seat (wheels)"}}
	p.Finishes = []Option{{"", "By friction"}}
	for _, x := range tables.NutFactors {
		p.Finishes = append(p.Finishes, Option{x.Key, capital(x.Name)})
	}
	p.Nuts = []Option{{"", "Not said"}}
	for _, n := range knowledge.NutClasses() {
		p.Nuts = append(p.Nuts, Option{n.Class, capital(n.Class)})
	}
	return p
}

// MoreOpen reports whether something behind the fold was said, or is wrong.
func (p jointBench) MoreOpen() bool {
	for _, field := range []string{"angle_deg", "grip_mm", "material", "new_bolt", "engagement_mm", "into", "prevailing", "load_kn", "friction", "finish", "method"} {
		if p.Form.Value(field) != "" || p.Form.Wrong(field) != "" {
			return true
		}
	}
	return false
}

// jointInputs are the fields of the calculator by the engine's inputs.
var jointInputs = map[joint.Input]string{
	joint.InThread: "thread", joint.InNut: "nut", joint.InTorque: "torque", joint.InPreload: "preload_kn",
	joint.InFriction: "friction", joint.InNutFactor: "finish", joint.InFinish: "finish", joint.InSurface: "lubricant",
	joint.InMethod: "method", joint.InHead: "head", joint.InAngle: "angle_deg", joint.InPrevailing: "prevailing",
	joint.InProofShare: "share", joint.InGrip: "grip_mm", joint.InMaterial: "material", joint.InInto: "into",
	joint.InEngagement: "engagement_mm", joint.InLoad: "load_kn",
}

// reckon asks the engine.
func (p *jointBench) reckon() {
	f := p.Form
	c := f.readJointCase()
	if len(f.Problems) > 0 {
		return
	}
	r, err := workshop.ExamineJoint(c)
	if err != nil {
		field := "thread"
		if in, known := workshop.JointMistake(err); known {
			field = jointInputs[in]
		}
		f.problem(field, "%s", capital(err.Error()))
		return
	}
	p.Said = &r
	q := url.Values{
		"thread": {strings.TrimSpace(f.Value("thread"))}, "torque": {trimNumber(tidyTorque(r.Torque.Value))}, "source": {string(rebuild.SourceOwn)},
		"source_where": {"reckoned on the bench"}, "lubricant": {f.Value("lubricant")}, "friction": {f.Value("friction")}, "angle_deg": {f.Value("angle_deg")},
	}
	p.Keep = p.Base() + "/joints/new?" + q.Encode()
}

// readJointCase reads what the engine is asked.
func (f *Form) readJointCase() joint.Case {
	c := joint.Case{
		Thread: f.Value("thread"), Nut: f.Value("nut"), Surface: f.Value("lubricant"), Finish: f.Value("finish"), Method: f.Value("method"), Head: f.Value("head"),
		Friction: f.optional("friction", "the friction"), PrevailingNm: f.torque("prevailing", "the running torque"),
		AngleDeg: f.number("angle_deg", "the angle"), NewBolt: f.Has("new_bolt", "1"), GripMm: f.number("grip_mm", "the thickness"), Material: f.Value("material"),
		EngagementMm: f.number("engagement_mm", "the engaged length"), Into: f.Value("into"),
		LoadKN: f.optional("load_kn", "the load"), PreloadKN: f.optional("preload_kn", "the preload"),
		ProofShare: f.share("share", "the share of the proof force", 0),
	}
	if f.Value("torque") != "" {
		nm := f.torque("torque", "the torque")
		c.TorqueNm = &nm
	}
	if c.Thread == "" {
		f.problem("thread", "say the thread and its strength class, as marked on the head: M10x1.25-10.9, 3/8-16 UNC grade 5")
	}
	return c
}
