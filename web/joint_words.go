package web

import (
	"fmt"
	"strings"
)

// jointWords says what was done to a joint, out of a field decoded from the book:
// each tightening and each undoing in a few words. False where it is neither.
func jointWords(field string, v any) (string, bool) {
	list, ok := v.([]any)
	if !ok || len(list) == 0 {
		return "", false
	}
	words := make([]string, len(list))
	for i, x := range list {
		part, ok := x.(map[string]any)
		if !ok {
			return "", false
		}
		if words[i] = undoneWords(part); field == "tightenings" {
			words[i] = tightenedWords(part)
		}
	}
	return strings.Join(words, "; "), true
}

func undoneWords(part map[string]any) string {
	at, _ := part["at"].(string)
	why, _ := part["why"].(string)
	return strings.TrimSuffix(momentWords(at)+", "+why, ", ")
}

func tightenedWords(part map[string]any) string {
	text := func(name string) string { s, _ := part[name].(string); return s }
	number := func(name string) float64 { n, _ := part[name].(float64); return n }
	words := fmt.Sprintf("%s, %s N·m", momentWords(text("at")), figure(number("torque_nm")))
	if angle := number("angle_deg"); angle > 0 {
		words += fmt.Sprintf(" + %s°", figure(angle))
	}
	words += " by " + text("who")
	if second := text("second_by"); second != "" {
		words += ", checked by " + second
	}
	if alone := text("alone"); alone != "" {
		words += ", checked by nobody else: " + alone
	}
	return words
}
