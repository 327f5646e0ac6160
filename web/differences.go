package web

import (
	"encoding/json"
	"fmt"
	"reflect"
	"sort"
	"strings"

	"wreckwright/rebuild"
)

// Difference is one field of an item that an edit changed.
type Difference struct {
	Item   string // "job: Front left upright"
	Field  string
	Before string
	After  string
}

// differences lists what a change's edits altered, field by field, as a person
// would read it. Numbers that only serve the machine are left out.
func differences(edits []rebuild.Edit) []Difference {
	var all []Difference
	for _, e := range edits {
		before, after := fieldsOf(e.Before), fieldsOf(e.After)
		item := labelOf(e)
		for _, field := range fieldNames(before, after) {
			if !reflect.DeepEqual(before[field], after[field]) {
				all = append(all, Difference{item, strings.ReplaceAll(field, "_", " "), inWords(before[field]), inWords(after[field])})
			}
		}
	}
	return all
}

func labelOf(e rebuild.Edit) string {
	item := e.After
	if item == nil {
		item = e.Before
	}
	return fmt.Sprintf("%s: %s", e.Kind(), item.Label())
}

func fieldsOf(item rebuild.Item) map[string]any {
	fields := map[string]any{}
	if item == nil {
		return fields
	}
	data, err := json.Marshal(item)
	if err == nil {
		err = json.Unmarshal(data, &fields)
	}
	if err != nil {
		return map[string]any{"content": err.Error()}
	}
	delete(fields, "rev")
	delete(fields, "id")
	delete(fields, "number")
	return fields
}

func fieldNames(a, b map[string]any) []string {
	seen := map[string]bool{}
	for name := range a {
		seen[name] = true
	}
	for name := range b {
		seen[name] = true
	}
	names := make([]string, 0, len(seen))
	for name := range seen {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}

// inWords shows a decoded JSON value: sums as sums, ranges as three figures,
// lists joined.
func inWords(v any) string {
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
		return v
	case []any:
		words := make([]string, len(v))
		for i, x := range v {
			words[i] = inWords(x)
		}
		return strings.Join(words, "; ")
	case map[string]any:
		return objectInWords(v)
	}
	return fmt.Sprint(v)
}

func objectInWords(v map[string]any) string {
	if number, ok := v["number"].(string); ok {
		currency, _ := v["currency"].(string)
		return strings.TrimSpace(number + " " + currency)
	}
	if low, ok := v["low"]; ok {
		return fmt.Sprintf("%s / %s / %s", inWords(low), inWords(v["likely"]), inWords(v["high"]))
	}
	if name, ok := v["name"].(string); ok {
		return name
	}
	if name, ok := v["What"].(string); ok {
		return name
	}
	return fmt.Sprint(v)
}
