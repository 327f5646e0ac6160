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

// anglesText reads the whole form into the text of a case file. What is half read
// is left out of it, and named.
func (f *Form) anglesText(t readingText) (text string, leftOut []string) {
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
	for _, list := range []struct{ key, name string }{{"ride_height_mm.", "the ride heights"}, {"tyre_pressure_bar.", "the tyre pressures"}, {"corner_weights_kg.", "the corner weights"}} {
		four := make([]string, len(wheelKeys))
		for i, wheel := range wheelKeys {
			four[i] = list.key + wheel
		}
		if a.whole(list.name, "all four wheels", four...) {
			a.measureAll(four)
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
	return a.file.String(), a.leftOut
}

// whole reports whether fields that count only together are all filled; where
// some are, it is said what is missing.
func (f *anglesForm) whole(name, needs string, fields ...string) bool {
	if !f.filled(fields...) {
		return false
	}
	for _, field := range fields {
		if f.Value(field) == "" {
			f.half(field, name+": "+needs+" must be read")
			return false
		}
	}
	return true
}

// half names what is half read: left out of what is said, a mistake in what is
// kept.
func (f *anglesForm) half(field, text string) {
	if f.Value("do") == "keep" {
		f.problem(field, "%s; or clear it, or put the sheet aside half filled", capital(text))
		return
	}
	f.leftOut = append(f.leftOut, text)
}

func (f *anglesForm) measureAll(fields []string) {
	for _, field := range fields {
		f.measure(field)
	}
}

func (f *anglesForm) slantAll(fields []string) {
	for _, field := range fields {
		f.slant(field)
	}
}

// readLines takes over how the lines stand.
func (f *anglesForm) readLines() {
	lined := false
	for _, w := range wheelKeys {
		lined = lined || f.edges(w)
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

// edges reports whether anything was read from a line to the rim of the wheel.
func (f *anglesForm) edges(wheel string) bool {
	return f.filled("wheels."+wheel+".front_mm", "wheels."+wheel+".rear_mm")
}

// readWheel takes over what was read at one wheel.
func (f *anglesForm) readWheel(wheel string) {
	in, name := "wheels."+wheel+".", workshop.CornerWords(wheel)
	edges := f.edges(wheel) && f.whole(name+", line to rim", "both edges and the rim", in+"front_mm", in+"rear_mm", "rim."+axleOf(wheel))
	if edges {
		if v := f.measured(f.t, "rim."+axleOf(wheel), "rim edge to edge, "+axleOf(wheel)); v != nil {
			f.file.number(in+"rim_mm", *v)
		}
		f.edge(in + "front_mm")
		f.edge(in + "rear_mm")
	}
	if f.filled(in+"turned.front_mm", in+"turned.rear_mm") && f.whole(name+", half a turn on, line to rim", "both edges, before and there,", in+"front_mm", in+"rear_mm", in+"turned.front_mm", in+"turned.rear_mm") && edges {
		f.edge(in + "turned.front_mm")
		f.edge(in + "turned.rear_mm")
	}
	f.readCambers(in, name)
	if edges || f.Value(in+"camber_deg") != "" {
		f.measure(in + "hub_x_mm")
	} else if f.Value(in+"hub_x_mm") != "" {
		f.half(in+"front_mm", name+", hub along the line: both edges or the camber must be read")
	}
	if axleOf(wheel) == "front" {
		f.readSweep(in+"sweep.", name)
	}
}

// readCambers takes over the camber of a wheel and what is taken out of it.
func (f *anglesForm) readCambers(in, name string) {
	f.slant(in + "camber_deg")
	for _, more := range []struct{ key, name string }{{"turned.camber_deg", "half a turn on"}, {"reversed_camber_deg", "turned end for end"}} {
		if f.Value(in+more.key) != "" && f.whole(name+", camber "+more.name, "the camber as it reads, too,", in+"camber_deg", in+more.key) {
			f.slant(in + more.key)
		}
	}
}

// readSweep takes over a wheel steered out and in.
func (f *anglesForm) readSweep(in, name string) {
	turned := []string{in + "out_deg", in + "camber_out_deg", in + "in_deg", in + "camber_in_deg"}
	tilts := []string{in + "pitch_out_deg", in + "pitch_in_deg"}
	if !f.whole(name+", sweep", "both turns and both cambers", turned...) {
		if f.filled(tilts...) && !f.filled(turned...) {
			f.half(in+"out_deg", name+", tilt of the hub: the turns and cambers of the sweep must be read, too")
		}
		return
	}
	f.slantAll(turned)
	if f.whole(name+", tilt of the hub", "both tilts", tilts...) {
		f.slantAll(tilts)
	}
}

// edge takes over the distance of a line from an edge: the line stands outside.
func (f *anglesForm) edge(key string) {
	if v := f.measured(f.t, key, workshop.AngleKeyWords(key)); v != nil {
		if *v < 0 {
			f.problem(key, "%s: %s mm is less than nothing; the line stands outside the wheel, so its distance is above 0", workshop.AngleKeyWords(key), trimNumber(*v))
			return
		}
		f.file.number(key, *v)
	}
}

func (f *anglesForm) readFloor() {
	for _, axle := range []string{"front", "rear"} {
		in := "floor." + axle + "."
		if f.slant(in + "left_higher_deg") {
			continue
		}
		if f.whole("the floor, "+axle, "by how much, and over which track,", in+"left_higher_mm", in+"track_mm") {
			f.measure(in + "left_higher_mm")
			f.measure(in + "track_mm")
		}
	}
	f.slant("floor.nose_down_deg")
}

func (f *anglesForm) readTurns() {
	any := false
	for _, side := range []string{"left", "right"} {
		both := []string{"turns." + side + ".inner_deg", "turns." + side + ".outer_deg"}
		if f.whole("toe-out on turns, steered to the "+side, "both wheels", both...) {
			f.slantAll(both)
			any = true
		}
	}
	size := []string{"turns.wheelbase_mm", "turns.track_mm"}
	if any && f.whole("toe-out on turns, share of a turn about one point", "wheelbase and track", size...) {
		f.measureAll(size)
	}
}

// readChassis takes over how the car is adjusted.
func (f *anglesForm) readChassis() {
	if f.whole("the track rod", "the thread and the arm", "tie_rod.pitch_mm", "tie_rod.arm_mm") {
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
	weighed := []string{"springs.front_n_mm", "springs.rear_n_mm"}
	for _, wheel := range wheelKeys {
		weighed = append(weighed, "corner_weights_kg."+wheel)
	}
	if f.filled("springs.front_n_mm", "springs.rear_n_mm") && f.whole("the spring platforms", "both springs and all four weights", weighed...) {
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
