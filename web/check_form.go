package web

import (
	"cmp"
	"fmt"
	"net/http"
	"regexp"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"wreckwright/bench/check"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// readingText reads numbers as a reader's country writes them.
type readingText struct{ comma bool }

// readingsOf is how the reader of the page writes numbers: a lone comma is the
// decimal sign where that is so in his country, whatever stands behind it, since
// "27,982" of a micrometer is no thousand.
func readingsOf(r *http.Request) readingText {
	tag, err := language.Parse(readerLocale(r))
	if err != nil {
		return readingText{}
	}
	return readingText{strings.Contains(message.NewPrinter(tag).Sprintf("%.1f", 1.5), ",")}
}

// grouped are digits with gaps between them: one number, or several?
var gapped = regexp.MustCompile(`\d\s+[\d.,]`)

func (t readingText) number(text string) (float64, error) {
	text = strings.TrimSpace(text)
	if gapped.MatchString(text) {
		return 0, fmt.Errorf("%q: one number or several? Put a semicolon between readings", shortText(text))
	}
	plain := text
	if t.comma && strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		plain = strings.Replace(text, ",", ".", 1)
	}
	v, err := parseNumber(plain)
	if err != nil || plain == "" {
		return 0, fmt.Errorf("%q is not a number", shortText(text))
	}
	return v, nil
}

func shortText(text string) string {
	if utf8.RuneCountInString(text) > 40 {
		return string([]rune(text)[:40]) + "…"
	}
	return text
}

// numbers reads readings parted by semicolons or lines.
func (t readingText) numbers(text string) ([]float64, error) {
	var list []float64
	for _, item := range strings.FieldsFunc(text, func(c rune) bool { return c == ';' || c == '\n' }) {
		if strings.TrimSpace(item) == "" {
			continue
		}
		v, err := t.number(item)
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, nil
}

// readTaken reads the readings of a form as they are kept, with the one that was
// typed last, and leaves the form holding them so.
func (f *Form) readTaken(ask workshop.CheckAsk, t readingText, add, undo bool) string {
	switch ask.Shape {
	case workshop.ShapeWeek:
		return f.Value("taken")
	case workshop.ShapeParts:
		return f.readParts(ask, t)
	case workshop.ShapeWear:
		return f.readWorn(t, add, undo)
	}
	list, err := t.numbers(f.Value("taken"))
	if err != nil {
		f.problem("taken", "the readings: %v", err)
		return ""
	}
	if text := f.Value("reading"); add && text != "" {
		v, err := t.number(text)
		if err != nil {
			f.problem("reading", "the reading %v", err)
			return ""
		}
		list = append(list, v)
		f.Set("reading", "")
	}
	if undo && len(list) > 0 {
		list = list[:len(list)-1]
	}
	text := ""
	if len(list) > 0 {
		text = workshop.WriteReadings([]workshop.CheckRow{{Values: list}})
	}
	f.Set("taken", strings.TrimSpace(text))
	return text
}

// readParts reads the field of each part.
func (f *Form) readParts(ask workshop.CheckAsk, t readingText) string {
	var rows []workshop.CheckRow
	empty := 0
	for _, p := range ask.Parts {
		field := "part." + p.Field
		list, err := t.numbers(f.Value(field))
		switch {
		case err != nil:
			f.problem(field, "%s: %v", p.Words, err)
		case len(list) == 0:
			empty++
		default:
			rows = append(rows, workshop.CheckRow{Name: p.Name, Values: list})
		}
	}
	if len(f.Problems) > 0 || empty > 0 {
		return "" // nothing is worked out of halves
	}
	return workshop.WriteReadings(rows)
}

// readWorn reads distances with their readings.
func (f *Form) readWorn(t readingText, add, undo bool) string {
	var rows []workshop.CheckRow
	put := func(field, at, value string) bool {
		km, err := t.number(at)
		if err != nil {
			f.problem(field, "the distance %v", err)
			return false
		}
		list, err := t.numbers(value)
		if err != nil || len(list) == 0 {
			f.problem(cmp.Or(strings.TrimSuffix(field, "at"), "reading"), "the reading %v", cmp.Or(err, fmt.Errorf("is missing")))
			return false
		}
		rows = append(rows, workshop.CheckRow{Name: trimNumber(km), Values: list})
		return true
	}
	for _, line := range strings.Split(f.Value("taken"), "\n") {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		at, value, _ := strings.Cut(line, ":")
		if !put("taken", at, value) {
			return ""
		}
	}
	if add && (f.Value("at") != "" || f.Value("reading") != "") {
		if !put("at", f.Value("at"), f.Value("reading")) {
			return ""
		}
		f.Set("at", "")
		f.Set("reading", "")
	}
	if undo && len(rows) > 0 {
		rows = rows[:len(rows)-1]
	}
	f.Set("taken", strings.TrimSpace(workshop.WriteReadings(rows)))
	return workshop.WriteReadings(rows)
}

// readCheckSettings reads what the check is told besides its readings.
func (f *Form) readCheckSettings(ask workshop.CheckAsk, t readingText, today string) workshop.CheckSettings {
	s := workshop.CheckSettings{
		Quantity: ask.Key, Name: ask.Name, Unit: ask.Unit, Form: ask.Form, Which: f.Value("which"),
		InstrumentLimit: f.measured(t, "instrument_limit", "how far off the instrument may be"),
		TemperatureC:    f.measured(t, "temperature_c", "the temperature"),
		RimMm:           f.measured(t, "rim_mm", "the rim's diameter"),
		Risk:            f.share("risk", "the risk borne", 0),
	}
	if v := f.measured(t, "resolution", "the step of the display"); v != nil {
		s.Resolution = *v
	}
	if ask.Own {
		s.Quantity, s.Name, s.Unit = "", f.Value("own_name"), f.Value("own_unit")
		f.ownLengths()
	}
	f.bounded("which", "which one", 60)
	f.bounded("limit_from", "where the limit is from", 200)
	switch ask.Form {
	case workshop.FormTyreAge:
		s.On = cmp.Or(f.Value("on"), today)
		s.InstrumentLimit, s.Resolution = nil, 0
	case workshop.FormWear:
		s.Want, s.DistanceUnit = f.measured(t, "want", "how far it shall still go"), cmp.Or(f.Value("distance_unit"), "km")
		if s.Wears = f.Value("wears"); s.Wears != "" && s.Wears != check.WearsDown && s.Wears != check.WearsUp {
			f.problem("wears", "choose which way it wears")
		}
	case "efficiency":
		s.EffortUnit = cmp.Or(f.Value("effort_unit"), "N")
	}
	for _, p := range ask.Parts {
		if v := f.measured(t, "limit."+p.Field, "how far off "+p.Words+" may be"); p.Own && v != nil {
			if s.PartLimits == nil {
				s.PartLimits = map[string]float64{}
			}
			s.PartLimits[p.Name] = *v
		}
	}
	f.readLimit(ask, t, &s)
	return s
}

func (f *Form) ownLengths() {
	f.bounded("own_name", "the name", 80)
	f.bounded("own_unit", "the unit", 20)
}

func (f *Form) bounded(field, name string, most int) {
	if n := utf8.RuneCountInString(f.Value(field)); n > most {
		f.problem(field, "%s has %d letters; at most %d fit", name, n, most)
	}
}

// measured reads a number that may be left out, as readings are written.
func (f *Form) measured(t readingText, field, name string) *float64 {
	text := f.Value(field)
	if text == "" {
		return nil
	}
	v, err := t.number(text)
	if err != nil {
		f.problem(field, "%s: %v", name, err)
		return nil
	}
	return &v
}

// readLimit reads the limit: the maker's or an own one, where it was entered, else
// that which was chosen.
func (f *Form) readLimit(ask workshop.CheckAsk, t readingText, s *workshop.CheckSettings) {
	s.Lower, s.Upper = f.measured(t, "lower", "the lower limit"), f.measured(t, "upper", "the upper limit")
	if s.Lower != nil || s.Upper != nil {
		if s.LimitFrom, s.TemperatureC, s.RimMm = f.Value("limit_from"), nil, nil; s.LimitFrom == "" {
			f.problem("limit_from", "say where the limit is from: the part itself, the maker's manual and page, an estimate of your own")
		}
		return
	}
	l, ok := ask.Choice(f.Value("limit"))
	if !ok {
		return // the instrument says that there is none
	}
	f.take(l.Put(s))
}

// ownName wants a name for a quantity of one's own.
func (f *Form) ownName(ask workshop.CheckAsk) {
	if ask.Own && f.Value("own_name") == "" {
		f.problem("own_name", "say what is measured")
	}
}

// evidenceOn fills in what a measurement belongs to.
func (f *Form) evidenceOn(e *rebuild.Evidence, title, today string) {
	f.readBelongs(e)
	e.Title, e.On = cmp.Or(e.Title, title), cmp.Or(e.On, today)
}
