package workshop

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"wreckwright/rebuild"
)

// mostEventLines bounds a pasted history.
const mostEventLines = 500

// EventLines writes a history as lines that a person can edit and [ReadEventLines]
// reads again: day, kind, odometer, category or result, note.
func EventLines(events []rebuild.HistoryEvent) string {
	var b strings.Builder
	for _, e := range events {
		parts := []string{e.On, string(e.Kind)}
		if e.Odometer != nil {
			parts = append(parts, strings.TrimSpace(strconv.FormatInt(*e.Odometer, 10)+" "+e.Unit))
		}
		if e.Category != "" {
			parts = append(parts, "category "+quotedCategory(e.Category))
		}
		if e.Result != "" {
			parts = append(parts, e.Result)
		}
		if e.Jurisdiction != "" {
			parts = append(parts, "in "+quotedPlace(e.Jurisdiction))
		}
		if e.From != "" {
			parts = append(parts, "from "+quotedPlace(e.From))
		}
		if e.Note != "" {
			parts = append(parts, "- "+strings.ReplaceAll(e.Note, "\n", " "))
		}
		b.WriteString(strings.Join(parts, "  ") + "\n")
	}
	return b.String()
}

// ReadEventLines reads a typed or pasted history, one event a line:
//
//	2013-04-30 inspection 7,400 mi pass
//	11.02.2019 write-off category S - front left
//
// The day comes first, then the kind, then in any order a number (the odometer,
// with or without mi or km), "category" and its mark (one of several words stands
// in quotes, unless it is known here; right behind "write-off" a mark that is known
// here needs no "category" before it), pass or fail, "in US" for where it happened,
// "from US" for where an import came from; what follows a dash is the note. Empty
// lines are passed over. monthFirst reads 04/30/2013 as they write it in the
// United States.
func ReadEventLines(text string, monthFirst bool) ([]rebuild.HistoryEvent, []rebuild.Problem) {
	var events []rebuild.HistoryEvent
	var problems []rebuild.Problem
	for i, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		if len(events) == mostEventLines {
			return events, append(problems, rebuild.Problem{Field: "events", Text: fmt.Sprintf("at most %d events fit", mostEventLines)})
		}
		event, err := readEventLine(line, monthFirst)
		if err != nil {
			problems = append(problems, rebuild.Problem{Field: "events", Text: fmt.Sprintf("line %d, %q: %v", i+1, line, err)})
			continue
		}
		events = append(events, event)
	}
	return events, problems
}

func readEventLine(line string, monthFirst bool) (rebuild.HistoryEvent, error) {
	var e rebuild.HistoryEvent
	line, e.Note = cutNote(line)
	day, rest := cutDay(line, monthFirst)
	if day == "" {
		return e, fmt.Errorf("it does not begin with a day such as 2013-04-30")
	}
	e.On = day
	rest, e.Kind = cutKind(rest)
	if e.Kind == "" {
		return e, fmt.Errorf("after the day comes what happened: one of %s", kindList())
	}
	rest = spacedThousands.ReplaceAllStringFunc(rest, func(number string) string { return strings.Join(strings.Fields(number), "") })
	return e, readEventWords(&e, strings.Fields(rest))
}

// cutNote takes off what stands behind a dash between spaces.
func cutNote(line string) (before, note string) {
	for _, dash := range []string{" - ", " – ", " — "} {
		if before, note, ok := strings.Cut(line, dash); ok {
			return strings.TrimSpace(before), strings.TrimSpace(note)
		}
	}
	return line, ""
}

// cutDay takes a day off the front; "" where there is none.
func cutDay(line string, monthFirst bool) (iso, rest string) {
	layouts := []string{time.DateOnly, "2.1.2006", "2/1/2006", "2 Jan 2006", "2 January 2006"}
	if monthFirst {
		layouts[2] = "1/2/2006"
	}
	line = strings.ReplaceAll(line, "\t", " ")
	words := strings.Fields(line)
	for _, n := range []int{1, 3} {
		if len(words) < n {
			break
		}
		text := strings.Trim(strings.Join(words[:n], " "), ",;:")
		for _, layout := range layouts {
			if day, err := time.Parse(layout, text); err == nil {
				return day.Format(time.DateOnly), strings.Join(words[n:], " ")
			}
		}
	}
	return "", line
}

// cutKind takes the kind off the front, the longest that fits.
func cutKind(text string) (rest string, kind rebuild.HistoryKind) {
	lower := strings.ToLower(text)
	length := 0
	take := func(word string, k rebuild.HistoryKind) {
		if len(word) > length && strings.HasPrefix(lower, word) && endsWord(lower[len(word):]) {
			kind, length = k, len(word)
		}
	}
	for _, k := range rebuild.HistoryKinds {
		take(string(k), k)
	}
	for word, k := range kindsOtherwise {
		take(word, k)
	}
	return strings.TrimSpace(text[length:]), kind
}

// kindsOtherwise are other words for the kinds, as people and papers have them.
var kindsOtherwise = map[string]rebuild.HistoryKind{
	"write off": rebuild.EventWriteOff, "writeoff": rebuild.EventWriteOff, "written off": rebuild.EventWriteOff, "written-off": rebuild.EventWriteOff,
	"mot": rebuild.EventInspection, "mot test": rebuild.EventInspection, "nct": rebuild.EventInspection, "hauptuntersuchung": rebuild.EventInspection,
	"registered": rebuild.EventRegistration, "first registered": rebuild.EventRegistration, "sold": rebuild.EventSale,
	"change of keeper": rebuild.EventKeeperChange, "new keeper": rebuild.EventKeeperChange, "change of plate": rebuild.EventPlateChange, "new plate": rebuild.EventPlateChange,
	"exported": rebuild.EventExport, "imported": rebuild.EventImport, "theft": rebuild.EventStolen, "reported stolen": rebuild.EventStolen,
}

func endsWord(rest string) bool {
	return rest == "" || strings.ContainsAny(rest[:1], " ,;:\t")
}

func kindList() string {
	var names []string
	for _, k := range rebuild.HistoryKinds {
		names = append(names, string(k))
	}
	return strings.Join(names, ", ")
}

// readEventWords reads odometer, category and result; other words are noted.
func readEventWords(e *rebuild.HistoryEvent, words []string) error {
	var others []string
	if e.Kind == rebuild.EventWriteOff {
		category, used := leadingCategory(words)
		e.Category, words = category, words[used:]
	}
	for i := 0; i < len(words); i++ {
		word := strings.Trim(words[i], ",;:")
		lower := strings.ToLower(word)
		next := ""
		if i+1 < len(words) {
			next = strings.Trim(words[i+1], ",;:")
		}
		switch {
		case word == "":
		case (lower == "category" || lower == "cat") && next != "":
			category, used := cutCategory(words[i+1:])
			e.Category = category
			i += used
		case (lower == "in" || lower == "from") && next != "":
			place, used := cutPlace(words[i+1:])
			switch {
			case used == 0:
				others = append(others, word)
			case lower == "in":
				e.Jurisdiction = place
			default:
				e.From = place
			}
			i += used
		case lower == "pass" || lower == "passed":
			e.Result = "pass"
		case lower == "fail" || lower == "failed":
			e.Result = "fail"
		case word[0] >= '0' && word[0] <= '9' && e.Odometer == nil:
			if err := readOdometer(e, lower); err != nil {
				return err
			}
			if unit := unitOf(next); unit != "" && e.Unit == "" {
				e.Unit = unit
				i++
			}
		default:
			others = append(others, word)
		}
	}
	if len(others) > 0 {
		e.Note = strings.TrimSpace(strings.Join(others, " ") + " " + e.Note)
	}
	return nil
}

// placeCode reports whether the word is the code of a jurisdiction.
func placeCode(word string) bool {
	return slices.Contains(rebuild.Jurisdictions, strings.ToUpper(word))
}

// quotedPlace is a place as a line of a history has it: a code as it is, any other
// in quotes.
func quotedPlace(place string) string {
	if placeCode(place) {
		return strings.ToUpper(place)
	}
	return `"` + strings.Join(strings.Fields(strings.ReplaceAll(place, `"`, "'")), " ") + `"`
}

// cutPlace takes a place off the front: a code, or what stands in quotes; 0 words
// where neither does, for "in London" is a note.
func cutPlace(words []string) (place string, used int) {
	if place, used = cutQuoted(words); used > 0 {
		return place, used
	}
	if code := strings.ToUpper(strings.Trim(words[0], ",;:")); placeCode(code) {
		return code, 1
	}
	return "", 0
}

// spacedThousands is a number in groups of three: 7 400.
var spacedThousands = regexp.MustCompile(`\b\d{1,3}(\s\d{3})+\b`)

// groupedNumber is a number with or without marks between its thousands: in 7.4
// there are none.
var groupedNumber = regexp.MustCompile(`^(\d+|\d{1,3}([,.']\d{3})+)$`)

// readOdometer reads "7,400", "7400mi" or "12.000km".
func readOdometer(e *rebuild.HistoryEvent, word string) error {
	digits := strings.TrimRight(word, "abcdefghijklmnopqrstuvwxyz")
	e.Unit = unitOf(word[len(digits):])
	n, err := strconv.ParseInt(strings.NewReplacer(",", "", ".", "", "'", "").Replace(digits), 10, 64)
	if err != nil || !groupedNumber.MatchString(digits) {
		return fmt.Errorf("%q is no odometer reading", word)
	}
	e.Odometer = &n
	return nil
}

func unitOf(word string) string {
	switch strings.ToLower(word) {
	case "mi", "miles", "mile", "m":
		return "mi"
	case "km", "kms", "kilometres", "kilometers":
		return "km"
	}
	return ""
}
