package web

import (
	"strings"

	"wreckwright/bench/angles"
	"wreckwright/bench/angles/anglesfile"
	"wreckwright/workshop"
)

// caseLines are the lines of a case file.
type caseLines []anglesfile.Line

func (l *caseLines) put(key, value string) { *l = append(*l, anglesfile.Line{Key: key, Value: value}) }

func (l *caseLines) number(key string, v float64) { l.put(key, anglesfile.Number(v)) }

func (l caseLines) String() string { return anglesfile.Write(l) }

// wheelKeys are the wheels in the order in which one walks round the car.
var wheelKeys = []string{"FL", "FR", "RL", "RR"}

// axleOf is the axle of a wheel.
func axleOf(wheel string) string {
	if strings.HasPrefix(wheel, "F") {
		return "front"
	}
	return "rear"
}

// anglesText reads the whole form into the text of a case file.
func (f *Form) anglesText(t readingText) string {
	show := f.Value("show")
	if show != workshop.ShowMinutes {
		show = workshop.ShowDegrees
	}
	f.Set("show", show)
	a := &anglesForm{Form: f, t: t, show: show}
	a.readLines()
	for _, wheel := range wheelKeys {
		a.readWheel(wheel)
	}
	a.readFloor()
	for _, list := range []string{"ride_height_mm.", "tyre_pressure_bar.", "corner_weights_kg."} {
		for _, wheel := range wheelKeys {
			a.measure(list + wheel)
		}
	}
	a.readTurns()
	a.readChassis()
	a.readWant()
	for _, key := range []string{"line_mm", "weight_kg", "height_mm"} {
		a.measure("reading_sd." + key)
	}
	for _, key := range []string{"camber_deg", "turn_deg", "floor_deg"} {
		a.slant("reading_sd." + key)
	}
	return a.file.String()
}

// readLines takes over how the lines stand.
func (f *anglesForm) readLines() {
	lined := false
	for _, w := range wheelKeys {
		lined = lined || f.filled("wheels."+w+".front_mm", "wheels."+w+".rear_mm")
	}
	way := f.Value("lines")
	if way != "free" {
		way = "parallel"
	}
	f.Set("lines", way)
	if !lined {
		return
	}
	f.file.put("lines.left", way)
	f.file.put("lines.right", way)
	if way != "free" {
		return
	}
	var gap []string
	for _, axle := range []string{"front", "rear"} {
		at := f.measured(f.t, "gap."+axle+".at_mm", "the station of the "+axle+" distance")
		mm := f.measured(f.t, "gap."+axle+".mm", "the distance between the lines, "+axle)
		if at == nil || mm == nil {
			if len(f.Problems) == 0 {
				f.problem("gap."+axle+".mm", "lines that are not parallel to the car need the distance between them near each axle, and where it was taken along the left line")
			}
			return
		}
		gap = append(gap, "{at_mm: "+anglesfile.Number(*at)+", mm: "+anglesfile.Number(*mm)+"}")
	}
	f.file.put("lines.gap", "["+strings.Join(gap, ", ")+"]")
}

// readWheel takes over what was read at one wheel.
func (f *anglesForm) readWheel(wheel string) {
	in := "wheels." + wheel + "."
	if f.filled(in+"front_mm", in+"rear_mm", in+"turned.front_mm", in+"turned.rear_mm") {
		if v := f.measured(f.t, "rim."+axleOf(wheel), "rim edge to edge, "+axleOf(wheel)); v != nil {
			f.file.number(in+"rim_mm", *v)
		}
	}
	for _, key := range []string{"front_mm", "rear_mm", "turned.front_mm", "turned.rear_mm", "hub_x_mm"} {
		f.measure(in + key)
	}
	for _, key := range []string{"camber_deg", "turned.camber_deg", "reversed_camber_deg"} {
		f.slant(in + key)
	}
	if axleOf(wheel) == "rear" {
		return
	}
	for _, key := range []string{"out_deg", "camber_out_deg", "in_deg", "camber_in_deg", "pitch_out_deg", "pitch_in_deg"} {
		f.slant(in + "sweep." + key)
	}
}

func (f *anglesForm) readFloor() {
	for _, axle := range []string{"front", "rear"} {
		in := "floor." + axle + "."
		if f.slant(in + "left_higher_deg") {
			continue
		}
		if f.filled(in + "left_higher_mm") {
			f.measure(in + "left_higher_mm")
			f.measure(in + "track_mm")
		}
	}
	f.slant("floor.nose_down_deg")
}

func (f *anglesForm) readTurns() {
	any := false
	for _, side := range []string{"left", "right"} {
		for _, key := range []string{"inner_deg", "outer_deg"} {
			any = f.slant("turns."+side+"."+key) || any
		}
	}
	if any {
		f.measure("turns.wheelbase_mm")
		f.measure("turns.track_mm")
	}
}

// readChassis takes over how the car is adjusted.
func (f *anglesForm) readChassis() {
	if f.filled("tie_rod.pitch_mm", "tie_rod.arm_mm") {
		f.measure("tie_rod.pitch_mm")
		f.measure("tie_rod.arm_mm")
		f.slant("tie_rod.angle_deg")
		if arm := f.Value("tie_rod.arm"); arm == "behind" || arm == "ahead" {
			f.file.put("tie_rod.arm", arm)
		}
		if f.Has("tie_rod.sleeve", "1") {
			f.file.put("tie_rod.sleeve", "true")
		}
		f.measure("tie_rod.above_pivot_mm")
	}
	f.measure("shim.spacing_mm")
	f.measure("strut_top.above_lower_joint_mm")
	if f.filled("springs.front_n_mm", "springs.rear_n_mm") && f.filled("corner_weights_kg.FL") {
		for _, key := range springKeys {
			f.measure("springs." + key)
		}
	}
}

var springKeys = []string{
	"front_n_mm", "rear_n_mm", "front_motion_ratio", "rear_motion_ratio", "front_bar_n_mm", "rear_bar_n_mm",
	"tyre_n_mm", "front_track_mm", "rear_track_mm", "pitch_mm",
}

// wanted are the keys of what can be wanted, by axle, then of the whole car.
func wantedKeys() []string {
	var keys []string
	for _, axle := range []string{"front", "rear"} {
		for _, what := range angles.Quantities() {
			keys = append(keys, "want."+axle+"."+what)
		}
	}
	return append(keys, "want.thrust_deg", "want.toe_out_on_turns_deg", "want.cross_percent")
}

// readWant takes over the limits and where they are from.
func (f *anglesForm) readWant() {
	any := false
	for _, key := range wantedKeys() {
		any = f.readLimits(key) || any
	}
	source := f.Value("want.source")
	f.bounded("want.source", "where the limits are from", 200)
	switch {
	case source != "" && any:
		f.file.put("want.source", anglesfile.Text(source))
	case any:
		f.problem("want.source", "say where the limits are from: the maker's manual and page, the plate, an estimate of your own")
	}
}

// readLimits takes over the two ends of one limit; "1.2 ± 0.5" in the first field
// stands for both.
func (f *anglesForm) readLimits(key string) bool {
	low, high := key+".low", key+".high"
	if !f.filled(low, high) {
		return false
	}
	read := f.limitReader(key)
	if middle, half, ok := strings.Cut(strings.Replace(f.Value(low), "+-", "±", 1), "±"); ok {
		f.Set(low, strings.TrimSpace(middle))
		m, known := read(low)
		f.Set(low, strings.TrimSpace(half))
		h, also := read(low)
		if !known || !also {
			return true
		}
		f.Set(low, f.limitText(key, m-h))
		f.Set(high, f.limitText(key, m+h))
	}
	a, known := read(low)
	b, also := read(high)
	if known != also && len(f.Problems) == 0 {
		f.problem(low, "%s: give both ends, or one figure ± another in the first field", workshop.AngleKeyWords(key))
	}
	if known && also {
		f.file.put(key, "["+anglesfile.Number(a)+", "+anglesfile.Number(b)+"]")
	}
	return true
}

func (f *anglesForm) limitReader(key string) func(string) (float64, bool) {
	name := workshop.AngleKeyWords(key)
	if strings.HasSuffix(key, "_deg") {
		return func(field string) (float64, bool) { return f.angleAt(field, name) }
	}
	return func(field string) (float64, bool) {
		if v := f.measured(f.t, field, name); v != nil {
			return *v, true
		}
		return 0, false
	}
}

func (f *anglesForm) limitText(key string, v float64) string {
	if strings.HasSuffix(key, "_deg") {
		return typedAngle(v, f.show)
	}
	return trimNumber(v)
}

// anglesField is the field of the page at which a key of the file stands.
func anglesField(key string) string {
	parts := strings.Split(key, ".")
	last := parts[len(parts)-1]
	switch {
	case parts[0] == "wheels" && len(parts) == 3 && last == "rim_mm":
		return "rim." + axleOf(parts[1])
	case parts[0] == "wheels" && len(parts) == 2:
		return key + ".front_mm"
	case parts[0] == "wheels" && last == "turned":
		return key + ".front_mm"
	case parts[0] == "wheels" && last == "sweep":
		return key + ".out_deg"
	case strings.HasPrefix(key, "lines.gap[2]"):
		return "gap.rear.mm"
	case strings.HasPrefix(key, "lines.gap"):
		return "gap.front.mm"
	case parts[0] == "want" && last != "source":
		return strings.SplitN(key, "[", 2)[0] + ".low"
	case key == "springs":
		return "springs.front_n_mm"
	case parts[0] == "floor" && len(parts) == 2 && last != "nose_down_deg":
		return key + ".left_higher_mm"
	}
	return key
}
