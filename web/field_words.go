package web

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wreckwright/rebuild"
)

// fieldLabels are the fields whose names, as the book keeps them, would puzzle;
// the others become words by themselves.
var fieldLabels = map[string]string{
	"on":              "Date",
	"job":             "Job",
	"general":         "Belongs to no job, on purpose",
	"refund":          "Money back",
	"safety":          "Touches safety",
	"findings":        "Findings it settles",
	"needed":          "Chance that it is needed",
	"works":           "Chance that it works",
	"chosen":          "Chosen route",
	"estimate":        "Estimate at the choice",
	"reference":       "Reference price",
	"reference_from":  "Reference price, from whom",
	"hours_spent":     "Own hours spent",
	"cost_nothing":    "Really cost nothing",
	"failed":          "The chosen route did not work",
	"proof":           "What shows that it is done right",
	"proofs":          "Photos or records of that",
	"dismissed":       "Why nothing needs doing",
	"open_share":      "How far it is open",
	"hidden_expected": "Faults to expect in it",
	"hidden_cost":     "Cost of one hidden fault",
	"hour_value":      "Worth of an own hour",
	"hours_per_week":  "Hours a week",
	"correlation":     "Common factor of the costs",
	"jurisdiction":    "Registered in",
	"category":        "Salvage category",
	"distance":        "Odometer when bought",
	"distance_unit":   "Counted in",
	"vin":             "VIN",
	"shelved":         "Put away",
	"candidate":       "Not bought yet",
	"first_used":      "First used on",
	"events":          "Its history",
	"value":           "Value when done",
	"marker_discount": "What the salvage marker takes off",
	"selling_percent": "Selling costs, in % of the price",
	"selling_fixed":   "Selling costs, fixed",
	"fees":            "Buyer's fees",
	"fee_tax":         "Tax on the fees",
	"price_tax":       "Tax on the price",
	"other":           "Other costs",
	"wanted_profit":   "Profit wanted",
	"confidence":      "Chance wanted",
	"step":            "Bids go in steps of",
	"keep":            "To be kept, not sold",
	"asking":          "Price asked, or a bid in mind",
	"bought":          "As it was bought",
	"at":              "When",
	"phase":           "Before or after the work",
	"raw":             "Readings as they came in",
	"torque_nm":       "Torque, N·m",
	"tolerance_nm":    "Torque, plus and minus, N·m",
	"angle_deg":       "Turned on by, degrees",
	"low_nm":          "From, N·m",
	"high_nm":         "To, N·m",
	"one_time":        "Renewed each time",
	"tightenings":     "Tightened",
	"second_by":       "Who checked it",
	"at_km":           "The car has gone",
	"settings":        "What the engine was told",
	"after":           "Came off first",
	"fasteners":       "Fasteners",
	"connectors":      "Plugs, clips, hoses",
	"marks":           "Numbers on the photos",
	"settled_on":      "What goes back was there on",
	"back_at":         "Back on at",
	"back_by":         "Put back by",
	"back_anyway":     "Why it went back all the same",
}

// fieldLabel names a field of an item or of a form in words: "cost.low" is
// "Cost, low".
func fieldLabel(name string) string {
	field, part, parted := strings.Cut(name, ".")
	label := cmp.Or(fieldLabels[field], capital(strings.ReplaceAll(field, "_", " ")))
	switch {
	case !parted, field == "caption":
		return label
	}
	return label + ", " + strings.ToLower(fieldLabel(part))
}

// valueWords shows what a field holds, out of a form or decoded from the book, as
// a person would read it.
func (f Frame) valueWords(field string, v any) string {
	text, isText := v.(string)
	switch field {
	case "zone":
		if isText {
			return rebuild.ZoneName(text)
		}
	case "after", "jobs", "joints", "fasteners", "connectors", "marks":
		if words, ok := f.stripWords(field, v); ok {
			return words
		}
	case "job", "stage", "chosen":
		if words, ok := f.numberWords(field, v); ok {
			return words
		}
	case "needed", "works", "open_share", "fee_tax", "price_tax", "confidence", "chance":
		if share, ok := v.(float64); ok {
			return percent(share)
		}
	case "safety":
		if name, ok := safetyNames[rebuild.SafetyClass(text)]; ok && isText && text != "" {
			return name
		}
	case "tightenings", "undone":
		if words, ok := jointWords(field, v); ok {
			return words
		}
	case "jurisdiction":
		return cmp.Or(jurisdictionNames[text], text)
	case "model":
		if lines := strings.Count(text, "\n"); lines > 3 {
			return plural(lines, "line", "lines") // of a fault model
		}
	}
	return f.inWords(v)
}

// numberWords says what a number stands for: a job or a stage.
func (f Frame) numberWords(field string, v any) (string, bool) {
	var id int64
	switch v := v.(type) {
	case float64:
		id = int64(v)
	case string:
		n, err := strconv.ParseInt(v, 10, 64)
		if err != nil {
			return "", false
		}
		id = n
	}
	switch {
	case id == 0:
		return "", true
	case field == "stage":
		return rebuild.Stage{Number: id}.Label(), true
	case field == "job" && f.Rebuild != nil:
		if job := f.Rebuild.Job(id); job != nil {
			return job.Title, true
		}
	case field == "chosen" && f.Rebuild != nil:
		for i := range f.Rebuild.Jobs {
			if route := f.Rebuild.Jobs[i].Route(id); route != nil {
				return route.Name, true
			}
		}
	}
	return "", false
}

// inWords shows a decoded JSON value: sums as sums, ranges as three figures, days
// as days, lists joined.
func (f Frame) inWords(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case float64:
		return trimNumber(v)
	case string:
		return shortMoment(day(v))
	case []any:
		words := make([]string, len(v))
		for i, x := range v {
			words[i] = f.inWords(x)
		}
		return strings.Join(words, "; ")
	case map[string]any:
		return f.objectInWords(v)
	}
	return fmt.Sprint(v)
}

func (f Frame) objectInWords(v map[string]any) string {
	if number, ok := v["number"].(string); ok {
		if sum, ok := sumOf(v); ok {
			return f.Money(sum)
		}
		return number
	}
	if low, ok := v["low"]; ok {
		return fmt.Sprintf("%s / %s / %s", f.inWords(low), f.inWords(v["likely"]), f.inWords(v["high"]))
	}
	if name, ok := v["name"].(string); ok {
		return name
	}
	if name, ok := v["What"].(string); ok {
		return name
	}
	if words, ok := f.stepInWords(v); ok {
		return words
	}
	return f.partsInWords(v)
}

// stepInWords says what one step of a case was: "hand: free", "clean: still there".
func (f Frame) stepInWords(v map[string]any) (string, bool) {
	kind, isStep := v["kind"].(string)
	cured, hasEnd := v["cured"].(bool)
	if !isStep || !hasEnd {
		return "", false
	}
	came := f.inWords(v["outcome"])
	if reading, ok := v["value"].(float64); ok {
		came = trimNumber(reading)
	} else if kind != string(rebuild.StepTest) {
		came = map[bool]string{true: "cured", false: "still there"}[cured]
	}
	return cmp.Or(f.inWords(v["what"]), kind) + ": " + came, true
}

// partsInWords lists what is in an object that has no name of its own: what and
// when first, then the rest by name; what is empty is left out.
func (f Frame) partsInWords(v map[string]any) string {
	names := fieldNames(v, nil)
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(partRank(a), partRank(b)) })
	var parts []string
	for _, name := range names {
		words := f.valueWords(name, v[name])
		switch {
		case words == "" || v[name] == 0.0:
		case partRank(name) == 0:
			parts = append(parts, words)
		default:
			parts = append(parts, strings.ToLower(fieldLabel(name))+" "+words)
		}
	}
	return strings.Join(parts, ", ")
}

func partRank(name string) int {
	if name == "on" || name == "kind" {
		return 0
	}
	return 1
}
