package web

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"wreckwright/bench/angles"
	"wreckwright/chart"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
	"wreckwright/workshop"
)

// anglesSaid is what the readings of wheel angles say, for a page.
type anglesSaid struct {
	*workshop.Angled
	Drawing   template.HTML
	Wheels    []wheelSaid
	Axles     []angleSaid // of the axles and of the whole car
	Checks    []checkSaid
	Hold      []signSaid // where nothing is turned yet
	Adjust    []adjustSaid
	Signs     []signSaid
	Platforms []platformSaid
	Notes     []string
	Ghost     string // what the broken lines of the drawing are
}

// wheelSaid is one wheel.
type wheelSaid struct {
	Name   string
	Angles []angleSaid
}

// angleSaid is one figure with the 95 per cent that it lies in.
type angleSaid struct{ Name, Value, Doubt string }

// checkSaid is one figure against what is wanted.
type checkSaid struct {
	Name, Value, Doubt, Wanted string
	Verdict                    string
	Chance                     float64
}

// adjustSaid is one thing to turn, in the order in which it is done.
type adjustSaid struct {
	Where, Do, Exact, Beside string
	Estimate                 bool
}

// signSaid is what a bent part would look like.
type signSaid struct{ Where, Text, Source string }

// platformSaid is what one turn of a spring platform does.
type platformSaid struct{ Wheel, Cross, Loads string }

// newAnglesSaid words a result; before is drawn in broken lines, where there is
// one.
func newAnglesSaid(out *workshop.Angled, before *workshop.Angled, ghost string) *anglesSaid {
	show, r := out.Settings.Show, out.Result
	s := &anglesSaid{Angled: out, Ghost: ghost}
	for _, n := range angles.Corners {
		if w, ok := r.Wheels[n.String()]; ok {
			s.Wheels = append(s.Wheels, newWheelSaid(n, w, show))
		}
	}
	s.Axles = axlesSaid(r, show)
	for _, c := range r.Checks {
		s.Checks = append(s.Checks, newCheckSaid(c, show))
	}
	for _, h := range r.Hold {
		s.Hold = append(s.Hold, signSaid{Where: capital(workshop.CornerWords(h.Wheel)), Text: h.Text})
	}
	for _, a := range r.Adjust {
		s.Adjust = append(s.Adjust, adjustWords(a, show))
	}
	for _, x := range r.Signs {
		s.Signs = append(s.Signs, signSaid{capital(workshop.CornerWords(x.Wheel)), x.Text, x.Source})
	}
	for _, p := range r.Platforms {
		s.Platforms = append(s.Platforms, newPlatformSaid(p))
	}
	for _, note := range r.Notes {
		s.Notes = append(s.Notes, workshop.NoteWords(note))
	}
	s.Drawing = drawnWheels(out, before, ghost).HTML()
	return s
}

func angleDoubt(sd *float64, what, show string) string {
	if sd == nil || *sd == 0 {
		return ""
	}
	half := uncertain.HalfOf95 * *sd
	if !strings.HasSuffix(what, "_deg") {
		return fmt.Sprintf("± %.1f", half)
	}
	if show == workshop.ShowMinutes {
		return fmt.Sprintf("± %.0f′", math.Ceil(half*60))
	}
	return fmt.Sprintf("± %.2f", half)
}

// said is a figure with its unit.
func saidFigure(v float64, what, show string) string {
	if strings.HasSuffix(what, "_deg") {
		return saidAngle(v, show)
	}
	return strings.ReplaceAll(fmt.Sprintf("%.1f", v), "-", "\u2212") + strings.Replace(workshop.AngleUnit(what), " ", "\u00a0", 1)
}

func newAngleSaid(name, what, show string, v, sd *float64) []angleSaid {
	if v == nil {
		return nil
	}
	return []angleSaid{{name, saidFigure(*v, what, show), angleDoubt(sd, what, show)}}
}

func newWheelSaid(n angles.Corner, w angles.WheelResult, show string) wheelSaid {
	s := wheelSaid{Name: capital(workshop.CornerWords(n.String()))}
	for _, x := range []struct {
		name  string
		v, sd *float64
	}{
		{"Toe", w.Toe, w.ToeSD},
		{"Camber", w.Camber, w.CamberSD},
		{"Caster", w.Caster, w.CasterSD},
		{"Steering axis", w.SteeringAxis, w.SteeringAxisSD},
		{"Included", w.Included, w.IncludedSD},
	} {
		s.Angles = append(s.Angles, newAngleSaid(x.name, "toe_deg", show, x.v, x.sd)...)
	}
	return s
}

func axlesSaid(r angles.Result, show string) []angleSaid {
	var list []angleSaid
	add := func(name, what string, v, sd *float64) { list = append(list, newAngleSaid(name, what, show, v, sd)...) }
	for _, axle := range []string{"front", "rear"} {
		a := r.Axles[axle]
		add("Total toe, "+axle, "toe_deg", a.TotalToe, a.TotalToeSD)
		add("Set-back, "+axle, "set_back_mm", a.SetBackMm, a.SetBackMmSD)
		add("Camber left less right, "+axle, "camber_deg", a.CrossCamber, a.CrossCamberSD)
		add("Caster left less right, "+axle, "caster_deg", a.CrossCaster, a.CrossCasterSD)
		add("Ride height, "+axle, "height_mm", a.HeightMm, a.HeightMmSD)
		add("Left stands higher, "+axle, "height_mm", a.LeftOverMm, a.LeftOverMmSD)
	}
	add("Thrust angle, to the right", "thrust_deg", r.Thrust, r.ThrustSD)
	for _, side := range []string{"left", "right"} {
		if t, ok := r.Turns[side]; ok {
			add("Toe-out, held "+side, "toe_out_deg", t.ToeOut, t.ToeOutSD)
			add("Share of a turn about one point, held "+side, "share_percent", t.Share, t.ShareSD)
		}
	}
	if w := r.Weights; w != nil {
		add("Weight", "weight_kg", &w.TotalKg, nil)
		add("On the front", "front_percent", &w.FrontPercent, nil)
		add("On the left", "left_percent", &w.LeftPercent, nil)
		add("Cross-weight, front right with rear left", "cross_percent", &w.CrossPercent, &w.CrossSD)
	}
	return list
}

func newCheckSaid(c angles.CheckResult, show string) checkSaid {
	return checkSaid{
		Name: capital(workshop.CheckedWords(c)), Value: saidFigure(c.Value, c.What, show), Doubt: angleDoubt(&c.SD, c.What, show),
		Wanted: saidFigure(c.Low, c.What, show) + " to " + saidFigure(c.High, c.What, show), Verdict: c.Verdict, Chance: c.Chance,
	}
}

func newPlatformSaid(p angles.PlatformResult) platformSaid {
	var loads []string
	for _, n := range angles.Corners {
		loads = append(loads, fmt.Sprintf("%s %s kg", workshop.CornerWords(n.String()), signedText(p.CornerKg[n.String()], 1)))
	}
	return platformSaid{capital(workshop.CornerWords(p.Wheel)), signedText(p.CrossPercent, 2) + "\u00a0%", strings.Join(loads, ", ")}
}

func signedText(v float64, digits int) string {
	return strings.ReplaceAll(fmt.Sprintf("%+.*f", digits, v), "-", "\u2212")
}

// drawnWheels draws where the wheels point.
func drawnWheels(out, before *workshop.Angled, ghost string) chart.Figure {
	show, r := out.Settings.Show, out.Result
	w := chart.WheelsAbove{Head: chart.Head{ID: "wheels-above", Title: "Where the wheels point"}, Wheels: wheelsDrawn(r, show)}
	if before != nil {
		old := wheelsDrawn(before.Result, show)
		w.Before = &old
		w.Head.Title += "; in broken lines " + ghost
	}
	if r.Thrust != nil {
		w.ThrustDeg, w.Thrust = r.Thrust, saidAngle(math.Abs(*r.Thrust), show)
		if w.Thrust != saidAngle(0, show) {
			w.Thrust += " to the " + rightOrLeft(*r.Thrust)
		}
	}
	for axle, name := range []string{"front", "rear"} {
		if x := r.Axles[name].SetBackMm; x != nil && math.Abs(*x) >= 0.5 {
			w.SetBack[axle] = fmt.Sprintf("%s wheel %.0f mm back", rightOrLeft(*x), math.Abs(*x))
		}
	}
	return chart.NewWheelsAbove(w)
}

func rightOrLeft(v float64) string {
	if v < 0 {
		return "left"
	}
	return "right"
}

func wheelsDrawn(r angles.Result, show string) (list [4]chart.WheelDrawn) {
	for _, n := range angles.Corners {
		w := r.Wheels[n.String()]
		d := chart.WheelDrawn{ToeDeg: w.Toe, CamberDeg: w.Camber, State: wheelState(r, n)}
		if w.Toe != nil {
			d.Toe = saidAngle(*w.Toe, show)
		}
		if w.Camber != nil {
			d.Camber = saidAngle(*w.Camber, show)
		}
		list[n] = d
	}
	return list
}

// wheelState is the worst of what is wanted of a wheel, its axle's toe included.
func wheelState(r angles.Result, n angles.Corner) chart.WheelState {
	state := chart.WheelPlain
	for _, c := range r.Checks {
		mine := c.Where == n.String() || c.Where == n.Axle() && c.What == "total_toe_deg"
		switch {
		case !mine:
		case c.Verdict == angles.Fail:
			return chart.WheelOff
		case c.Verdict == angles.CannotTell:
			state = chart.WheelOpen
		case state == chart.WheelPlain:
			state = chart.WheelGood
		}
	}
	return state
}

// anglesBefore is the measurement that another is held against, worked out anew.
func anglesBefore(c *comparison, e *rebuild.Evidence) *rebuild.Evidence {
	switch {
	case c == nil:
		return nil
	case c.Before.ID == e.ID:
		return c.After
	}
	return c.Before
}
