package web

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"wreckwright/appraise/identity"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// functions are what every template may call. What depends on the reader's
// locale is a method of Frame instead.
func functions(a *assets) template.FuncMap {
	return template.FuncMap{
		"asset":       a.url,
		"zoneName":    rebuild.ZoneName,
		"day":         day,
		"percent":     percent,
		"hours":       hours,
		"lasts":       lasts,
		"plural":      plural,
		"figure":      figure,
		"figure3":     threeDigits,
		"dayWords":    dayWords,
		"measured":    measured,
		"bounds":      bounds,
		"inMinutes":   inMinutes,
		"grouped":     func(n int) string { return group(strconv.Itoa(n)) },
		"results":     func() []Option { return []Option{{"", "not known"}, {"pass", "Pass"}, {"fail", "Fail"}} },
		"sentence":    sentence,
		"capital":     capital,
		"deref":       func(v *float64) float64 { return *v },
		"points":      func(v *float64) string { return fmt.Sprintf("%.1f points", 100**v) },
		"units":       func() []Option { return []Option{{"km", "kilometres"}, {"mi", "miles"}} },
		"foldWorking": foldWorking,
		"sourcesOf":   sourcesOf,
		"part":        func(name string, of any) Part { return Part{name, of} },
		"dict":        dict,
		"add":         func(a, b int) int { return a + b },
		"lower":       strings.ToLower,
		"vinHint":     vinHint,
		"angleWords":  workshop.AngleWords,
		"choices":     optionsIn,
		"stageName":   func(n int64) string { return rebuild.Stage{Number: n}.Label() },
	}
}

// Part carries a name and a value into a sub-template.
type Part struct {
	Name string
	Of   any
}

// optionsIn lists choices out of pairs of a value and its label.
func optionsIn(pairs ...string) []Option {
	var list []Option
	for i := 0; i+1 < len(pairs); i += 2 {
		list = append(list, Option{pairs[i], pairs[i+1]})
	}
	return list
}

// dict passes several named values into a sub-template.
func dict(pairs ...any) (map[string]any, error) {
	if len(pairs)%2 != 0 {
		return nil, fmt.Errorf("dict wants pairs of a name and a value")
	}
	m := make(map[string]any, len(pairs)/2)
	for i := 0; i < len(pairs); i += 2 {
		name, ok := pairs[i].(string)
		if !ok {
			return nil, fmt.Errorf("dict: %v is not a name", pairs[i])
		}
		m[name] = pairs[i+1]
	}
	return m, nil
}

// day shows an ISO date as "21 Mar 2026"; what is not one stays as it is.
func day(iso string) string {
	d, err := time.Parse(time.DateOnly, iso)
	if err != nil {
		return iso
	}
	return d.Format("2 Jan 2006")
}

// percent shows a share as the workshop does, its sign kept beside the figure.
func percent(p float64) string { return strings.ReplaceAll(workshop.Percent(p), " ", "\u00a0") }

// hours shows working time: "3.5 h", "120 h".
func hours(h float64) string {
	if h < 10 {
		return strings.TrimSuffix(fmt.Sprintf("%.1f", h), ".0") + "\u00a0h"
	}
	return fmt.Sprintf("%.0f\u00a0h", h)
}

// plural says "1 job" or "3 jobs".
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// figure shows a number of a working with four significant digits, thousands
// grouped by thin spaces.
func figure(v float64) string {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	digits := max(0, 3-int(math.Floor(math.Log10(math.Abs(v)))))
	whole, fraction, _ := strings.Cut(strconv.FormatFloat(v, 'f', min(digits, 9), 64), ".")
	fraction = strings.TrimRight(fraction, "0")
	if fraction != "" {
		fraction = "." + fraction
	}
	return group(whole) + fraction
}

// group puts thin spaces between the thousands of a number.
func group(number string) string {
	sign, digits := "", number
	if strings.HasPrefix(digits, "-") {
		sign, digits = "\u2212", digits[1:]
	}
	digits, fraction, parted := strings.Cut(digits, ".")
	for at := len(digits) - 3; at > 0; at -= 3 {
		digits = digits[:at] + "\u202f" + digits[at:]
	}
	if parted {
		fraction = "." + fraction
	}
	return sign + digits + fraction
}

// vinHint says that a number entered as a VIN has another length. It is no
// mistake to be refused: older cars have shorter numbers.
func vinHint(vin string) string {
	n := utf8.RuneCountInString(vin)
	if n == 0 || n == identity.Length {
		return ""
	}
	return fmt.Sprintf("A VIN has %d characters, this has %d. Cars built before 1981 may have fewer.", identity.Length, n)
}

// Option is one choice of a list.
type Option struct{ Value, Label string }

// optionsOf makes choices whose label is the value itself, first letter large.
func optionsOf[T ~string](values []T) []Option {
	options := make([]Option, len(values))
	for i, v := range values {
		options[i] = Option{string(v), capital(string(v))}
	}
	return options
}

// zoneOptions are all zones, after an empty choice where one is allowed.
func zoneOptions(none string) []Option {
	var options []Option
	if none != "" {
		options = append(options, Option{"", none})
	}
	for _, z := range rebuild.ZonePlaces {
		options = append(options, Option{z.Key, z.Name})
	}
	return options
}

// sentence makes words that an engine gave stand by themselves.
func sentence(words string) string { return strings.TrimSuffix(capital(words), ".") + "." }

// capital makes the first letter large.
func capital(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	if size == 0 {
		return words
	}
	return string(unicode.ToUpper(first)) + words[size:]
}
