package joint

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// longest is more than any designation needs.
const longest = 80

// ParseThread reads a designation: "M10", "M10x1.25-10.9", "M12 x 1,5 LH 8.8",
// "M6-A2-70", "M10x1.5x40-8.8" (40 mm long), "3/8-16 UNC grade 5",
// "1/2-20 UNF-2A grade 8", "#10-24 UNC". A tolerance class (6g, 6H, 2A) is read
// over. The error is an [*InputError].
func ParseThread(text string, tables Tables) (Thread, error) {
	clean := tidy(text)
	switch {
	case clean == "":
		return Thread{}, wrong(InThread, `a thread such as "M10x1.25-10.9" or "3/8-16 UNC grade 5"`, "no thread given")
	case len(clean) > longest:
		return Thread{}, wrong(InThread, `a thread such as "M10x1.25-10.9"`, "%q... is too long for a thread", strings.ToValidUTF8(clean[:20], ""))
	}
	t, err := parseSystem(clean, tables)
	if err != nil {
		return Thread{}, err
	}
	t.Text = strings.TrimSpace(text)
	t.Designation = t.canonical()
	if t.Class != "" {
		if _, err := tables.class(t); err != nil {
			return Thread{}, err
		}
	}
	return t, nil
}

func parseSystem(clean string, tables Tables) (Thread, error) {
	if metricForm.MatchString(clean) {
		return parseMetric(clean, tables)
	}
	if unifiedForm.MatchString(clean) {
		return parseUnified(clean, tables)
	}
	return Thread{}, wrong(InThread, `one such as "M10", "M10x1.25-10.9", "3/8-16 UNC grade 5", "#10-24"`, "%q is no thread designation known here", clean)
}

// tidy brings the ways of writing a designation to one.
func tidy(text string) string {
	text = strings.NewReplacer(
		"×", "x", "✕", "x", "*", "x", "–", "-", "—", "-", "‐", "-", "‑", "-", "−", "-",
		"\u00a0", " ", "″", "", "\"", "", "”", "", "½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	).Replace(text)
	return strings.ToUpper(strings.Join(strings.Fields(text), " "))
}

var (
	metricForm = regexp.MustCompile(`^M ?(\d{1,4}(?:[.,]\d{1,4})?)((?: ?X ?\d{1,5}(?:[.,]\d{1,4})?){0,2})(?:$|[ \-/])`)
	onePart    = regexp.MustCompile(`\d+(?:[.,]\d+)?`)
)

func parseMetric(clean string, tables Tables) (Thread, error) {
	m := metricForm.FindStringSubmatch(clean)
	name := "M" + trimNumber(m[1])
	size, ok := tables.size(Metric, func(s ThreadSize) bool { return s.Name == name })
	if !ok {
		return Thread{}, wrong(InThread, tables.neighbours(Metric, number(m[1])), "%s is no metric thread known here", name)
	}
	t := Thread{System: Metric, Size: size.Name, DiameterMm: size.DiameterMm}
	numbers := onePart.FindAllString(m[2], -1)
	tail := clean[len(strings.TrimRight(m[0], " -/")):]
	if dashed := dashedPitch.FindStringSubmatch(tail); len(numbers) == 0 && dashed != nil && size.hasPitch(number(dashed[1])) {
		numbers, tail = dashed[1:2], tail[len(dashed[0]):]
	}
	pitch, err := metricPitch(size, numbers)
	if err != nil {
		return Thread{}, err
	}
	t.PitchMm, t.Series = pitch.Mm, pitch.Series
	if len(numbers) == 2 {
		t.LengthMm = number(numbers[1])
		if !(t.LengthMm > 0 && t.LengthMm <= 2000) {
			return Thread{}, wrong(InThread, "a length above 0, up to 2000 mm", "%s: %s mm is no length of a bolt", clean, trimNumber(numbers[1]))
		}
	}
	return readTail(t, clean, tail)
}

// dashedPitch is a pitch after a hyphen, as in M10-1.25. No class has such a
// number.
var dashedPitch = regexp.MustCompile(`^ ?- ?(\d(?:[.,]\d{1,2})?)\b`)

func (s ThreadSize) hasPitch(mm float64) bool {
	return slices.ContainsFunc(s.Pitches, func(p Pitch) bool { return math.Abs(p.Mm-mm) < 1e-9 })
}

// metricPitch is the pitch that was written, else the coarse one.
func metricPitch(size ThreadSize, numbers []string) (Pitch, error) {
	if len(numbers) == 0 {
		if size.Pitches[0].Series != "coarse" {
			return Pitch{}, wrong(InThread, "a pitch: "+listPitches(size), "%s has no coarse pitch", size.Name)
		}
		return size.Pitches[0], nil
	}
	want := number(numbers[0])
	i := slices.IndexFunc(size.Pitches, func(p Pitch) bool { return math.Abs(p.Mm-want) < 1e-9 })
	if i >= 0 {
		return size.Pitches[i], nil
	}
	written := size.Name + "x" + trimNumber(numbers[0])
	if want >= 10 && len(numbers) == 1 {
		return Pitch{}, wrong(InThread, "", "%s: %s has pitches %s; where %s is the length write %sx%gx%s", written, size.Name, listPitches(size), trimNumber(numbers[0]), size.Name, size.Pitches[0].Mm, trimNumber(numbers[0]))
	}
	return Pitch{}, wrong(InThread, "", "%s: %s has pitches %s", written, size.Name, listPitches(size))
}

func listPitches(size ThreadSize) string {
	var list []string
	for _, p := range size.Pitches {
		text := strconv.FormatFloat(p.Mm, 'g', -1, 64)
		if size.System == Unified {
			text = strconv.FormatFloat(p.PerInch, 'g', -1, 64) + " (" + p.Series + ")"
		} else if p.Series == "coarse" {
			text += " (coarse)"
		}
		list = append(list, text)
	}
	return strings.Join(list, ", ")
}

var unifiedForm = regexp.MustCompile(`^(#\d{1,2}|NO\.? ?\d{1,2}|(?:\d{1,2}[ \-])?\d{1,2}/\d{1,2}|\d{1,2}(?:[.,]\d{1,4})?|[.,]\d{1,4})(?: ?IN)?(?: ?[-X] ?(\d{1,3})(?: ?TPI)?|(?: ?TPI)?)(?:$|[ \-])`)

func parseUnified(clean string, tables Tables) (Thread, error) {
	m := unifiedForm.FindStringSubmatch(clean)
	size, ok := tables.unifiedSize(m[1])
	if !ok {
		return Thread{}, wrong(InThread, tables.neighbours(Unified, 25.4*inches(m[1])), "%s is no unified thread known here", m[1])
	}
	t := Thread{System: Unified, Size: size.Name, DiameterMm: size.DiameterMm}
	tail := clean[len(strings.TrimRight(m[0], " -")):]
	series, tail := takeSeries(tail)
	pitch, err := unifiedPitch(size, m[2], series)
	if err != nil {
		return Thread{}, err
	}
	t.PitchMm, t.PerInch, t.Series = pitch.Mm, pitch.PerInch, pitch.Series
	return readTail(t, clean, tail)
}

var seriesForm = regexp.MustCompile(`^[ \-]*(UNC|UNF|UNEF|UNS|UNJC|UNJF|UNRC|UNRF|UN|BSW|BSF|WHIT|BSP|NPT)\b`)

func takeSeries(tail string) (series, rest string) {
	m := seriesForm.FindStringSubmatch(tail)
	if m == nil {
		return "", tail
	}
	return strings.NewReplacer("UNJ", "UN", "UNR", "UN").Replace(m[1]), tail[len(m[0]):]
}

// unifiedPitch is the pitch of the threads per inch, the series, or both.
func unifiedPitch(size ThreadSize, perInch, series string) (Pitch, error) {
	if series != "" && series != "UNC" && series != "UNF" && series != "UNS" && series != "UN" {
		return Pitch{}, wrong(InThread, "UNC or UNF", "%s %s: threads of the series %s are not known here", size.Name, series, series)
	}
	if perInch == "" {
		i := slices.IndexFunc(size.Pitches, func(p Pitch) bool { return p.Series == series })
		if i < 0 || series == "" {
			return Pitch{}, wrong(InThread, "the series or the threads per inch: "+listPitches(size), "%s says nothing of its pitch", strings.TrimSpace(size.Name+" "+series))
		}
		return size.Pitches[i], nil
	}
	i := slices.IndexFunc(size.Pitches, func(p Pitch) bool { return p.PerInch == number(perInch) })
	if i < 0 {
		return Pitch{}, wrong(InThread, "", "%s-%s: %s has threads per inch %s", size.Name, perInch, size.Name, listPitches(size))
	}
	if p := size.Pitches[i]; series == "" || series == "UN" || p.Series == series {
		return p, nil
	}
	return Pitch{}, wrong(InThread, "", "%s-%s %s: %s has threads per inch %s", size.Name, perInch, series, size.Name, listPitches(size))
}

var (
	leftForm      = regexp.MustCompile(`^(LH|LEFT(?: HAND(?:ED)?)?|RH)\b`)
	toleranceForm = regexp.MustCompile(`^(\d[GHEFJ](?:\d[GHEFJ])?(?:/\d[GHEFJ](?:\d[GHEFJ])?)?|[123][AB])\b`)
	classForm     = regexp.MustCompile(`^((?:GRADE|GR\.?|SAE|G) ?(\d(?:[.,]\d)?)|(?:CLASS )?([ACFD]\d ?- ?\d{2,3}|\d{1,2}[.,]\d))(?:$|[ \-])`)
)

// readTail reads what follows the size: hand, tolerance, class, in any order.
func readTail(t Thread, whole, tail string) (Thread, error) {
	for rest := strings.TrimLeft(tail, " -/"); rest != ""; rest = strings.TrimLeft(rest, " -/") {
		switch {
		case leftForm.MatchString(rest):
			hand := leftForm.FindString(rest)
			t.LeftHand = hand != "RH"
			rest = rest[len(hand):]
		case toleranceForm.MatchString(rest):
			rest = rest[len(toleranceForm.FindString(rest)):]
		case classForm.MatchString(rest) && t.Class == "":
			m := classForm.FindStringSubmatch(rest)
			t.Class = className(m[2], m[3])
			rest = rest[len(m[1]):]
		case t.Class != "":
			return Thread{}, wrong(InThread, "nothing after the class "+t.Class, "%s: %q is not understood", whole, rest)
		default:
			return Thread{}, wrong(InThread, `a class such as 8.8, 10.9, A2-70 or "grade 5", or LH`, "%s: %q is not understood", whole, rest)
		}
	}
	return t, nil
}

func className(grade, class string) string {
	if grade != "" {
		return "grade " + strings.ReplaceAll(grade, ",", ".")
	}
	return strings.NewReplacer(" ", "", ",", ".").Replace(class)
}

// canonical writes a thread as this package does.
func (t Thread) canonical() string {
	text := t.Size
	if t.System == Metric {
		if t.Series != "coarse" || t.LengthMm > 0 {
			text += "x" + strconv.FormatFloat(t.PitchMm, 'f', -1, 64)
		}
		if t.LengthMm > 0 {
			text += "x" + strconv.FormatFloat(t.LengthMm, 'f', -1, 64)
		}
	} else {
		text += "-" + strconv.FormatFloat(t.PerInch, 'f', -1, 64) + " " + t.Series
	}
	if t.LeftHand {
		text += " LH"
	}
	switch {
	case t.Class == "":
	case t.System == Metric && !t.LeftHand:
		text += "-" + t.Class
	default:
		text += " " + t.Class
	}
	return text
}

// size finds a size.
func (tb Tables) size(system System, is func(ThreadSize) bool) (ThreadSize, bool) {
	i := slices.IndexFunc(tb.Threads, func(s ThreadSize) bool { return s.System == system && len(s.Pitches) > 0 && is(s) })
	if i < 0 {
		return ThreadSize{}, false
	}
	return tb.Threads[i], true
}

// unifiedSize finds the size that is written as a fraction, a decimal or a
// number.
func (tb Tables) unifiedSize(text string) (ThreadSize, bool) {
	if strings.HasPrefix(text, "#") || strings.HasPrefix(text, "NO") {
		name := "#" + strings.TrimLeft(strings.TrimLeft(text, "#NO. "), "0")
		if name == "#" {
			name = "#0"
		}
		return tb.size(Unified, func(s ThreadSize) bool { return s.Name == name })
	}
	mm := 25.4 * inches(text)
	return tb.size(Unified, func(s ThreadSize) bool {
		return !strings.HasPrefix(s.Name, "#") && math.Abs(s.DiameterMm-mm) < 0.02
	})
}

// inches reads "3/8", "1 1/4", "0.375"; 0 where it is none.
func inches(text string) float64 {
	whole := 0.0
	if i := strings.IndexAny(text, " -"); i > 0 {
		whole, text = number(text[:i]), text[i+1:]
	}
	over, under, fraction := strings.Cut(text, "/")
	if !fraction {
		return number(text)
	}
	if number(under) == 0 {
		return 0
	}
	return whole + number(over)/number(under)
}

// neighbours are the sizes around a diameter.
func (tb Tables) neighbours(system System, mm float64) string {
	below, above := "", ""
	lowest, highest := math.Inf(-1), math.Inf(1)
	for _, s := range tb.Threads {
		switch {
		case s.System != system:
		case s.DiameterMm <= mm && s.DiameterMm > lowest:
			below, lowest = s.Name, s.DiameterMm
		case s.DiameterMm > mm && s.DiameterMm < highest:
			above, highest = s.Name, s.DiameterMm
		}
	}
	switch {
	case below == "":
		return above + " or above"
	case above == "":
		return below + " or below"
	}
	return "one such as " + below + " or " + above
}

func number(text string) float64 {
	x, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
	if err != nil {
		return 0
	}
	return x
}

// trimNumber writes a number without what does not count: "10.0" as "10".
func trimNumber(text string) string { return strconv.FormatFloat(number(text), 'f', -1, 64) }
