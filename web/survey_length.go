package web

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// groupedLength is a length with gaps between its thousands, as the pages write it.
var groupedLength = regexp.MustCompile(`^[-+−]?\d{1,3}(?:[ \x{00a0}\x{2009}\x{202f}]\d{3})+(?:[.,]\d+)?$`)

// withoutGaps takes the gaps between thousands out of a length; other texts stay.
func withoutGaps(text string) string {
	text = strings.TrimSpace(text)
	if !groupedLength.MatchString(text) {
		return text
	}
	return strings.NewReplacer(" ", "", "\u00a0", "", "\u2009", "", "\u202f", "").Replace(text)
}

// length reads a length of the form, which may have gaps between its thousands.
func (f *Form) length(t readingText, field, name string) *float64 {
	typed := f.Value(field)
	plain := withoutGaps(typed)
	if plain == typed {
		return f.measured(t, field, name)
	}
	v, err := t.number(plain)
	if err != nil {
		f.problem(field, "%s: %v", name, err)
		return nil
	}
	return &v
}

// exactMm shows a reading as it was taken, to a tenth where it has one.
func exactMm(v float64) string {
	return group(strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64))
}

// Exact shows a reading as it was taken.
func (surveyFrame) Exact(v float64) string { return exactMm(v) }

// Exact shows a reading as it was taken.
func (surveySaid) Exact(v float64) string { return exactMm(v) }
