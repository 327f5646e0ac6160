package web

import (
	"encoding/json"
	"fmt"
	"reflect"
	"sort"

	"wreckwright/money/amount"
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
func (f Frame) differences(edits []rebuild.Edit) []Difference {
	var all []Difference
	for _, e := range edits {
		before, after := fieldsOf(e.Before), fieldsOf(e.After)
		item := labelOf(e)
		for _, field := range fieldNames(before, after) {
			if !reflect.DeepEqual(before[field], after[field]) {
				all = append(all, Difference{item, fieldLabel(field), f.valueWords(field, before[field]), f.valueWords(field, after[field])})
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
	if sheet, ok := item.(rebuild.Sheet); ok {
		if words := surveyTold(sheet); words != "" {
			fields["told"] = words
		}
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

// sumOf reads a decoded sum of money.
func sumOf(v map[string]any) (amount.Amount, bool) {
	number, _ := v["number"].(string)
	code, _ := v["currency"].(string)
	sum, err := amount.Parse(number, code, '.')
	return sum, err == nil
}
