package web

import (
	"fmt"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// stripWords says what a field of something that came off holds: whole words for
// the sets, connectors and marks, names for the numbers.
func (f Frame) stripWords(field string, v any) (string, bool) {
	list, ok := v.([]any)
	if !ok {
		return "", false
	}
	var words []string
	for _, x := range list {
		switch x := x.(type) {
		case float64:
			name, known := f.namedBy(field, int64(x))
			if !known {
				return "", false
			}
			words = append(words, name)
		case map[string]any:
			said, known := stripPart(field, x)
			if !known {
				return "", false
			}
			words = append(words, said)
		default:
			return "", false
		}
	}
	return strings.Join(words, "; "), len(words) > 0
}

// namedBy is the name of what a number in that field stands for.
func (f Frame) namedBy(field string, id int64) (string, bool) {
	if f.Rebuild == nil {
		return "", false
	}
	gone := fmt.Sprintf("number %d", id)
	switch field {
	case "after":
		if s := f.Rebuild.StripItem(id); s != nil {
			return s.What, true
		}
		return gone, true
	case "jobs":
		if j := f.Rebuild.Job(id); j != nil {
			return j.Title, true
		}
		return gone, true
	case "joints":
		if j := f.Rebuild.Joint(id); j != nil {
			return j.Title, true
		}
		return gone, true
	}
	return "", false
}

func stripPart(field string, x map[string]any) (string, bool) {
	text := func(name string) string { s, _ := x[name].(string); return s }
	is := func(name string) bool { b, _ := x[name].(bool); return b }
	number := func(name string) float64 { n, _ := x[name].(float64); return n }
	switch field {
	case "fasteners":
		set := rebuild.FastenerSet{Count: int(number("count")), Thread: text("thread"), Tool: text("tool")}
		parts := []string{workshop.InWords(set)}
		for _, part := range []struct {
			on    bool
			words string
		}{
			{text("bag") != "", "bag " + text("bag")},
			{is("one_time"), "one-time"},
			{text("to_buy") != "", text("to_buy")},
			{text("arrived_on") != "", "new ones here since " + day(text("arrived_on"))},
			{is("emptied"), "all in"},
			{text("note") != "", text("note")},
		} {
			if part.on {
				parts = append(parts, part.words)
			}
		}
		return strings.Join(parts, ", "), true
	case "connectors":
		if is("made") {
			return text("name") + ", made", true
		}
		return text("name"), true
	case "marks":
		return fmt.Sprintf("%.0f on photo %.0f: %s", number("number"), number("photo")+1, text("text")), true
	}
	return "", false
}
