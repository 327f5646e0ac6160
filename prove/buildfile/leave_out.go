package buildfile

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"
)

// Rule says what becomes of one text or number of the data in an edition.
type Rule string

// The rules.
const (
	// Keep leaves it: a word of a fixed list, a day, a number of an item.
	Keep Rule = "keep"
	// Text is what a person wrote: names, plates, sums are cut out of it.
	Text Rule = "text"
	// Blank empties it.
	Blank Rule = "blank"
	// VIN keeps the first eight characters, which name the model and not the car.
	VIN Rule = "vin"
	// Person is a name: it becomes "person 1" and so on.
	Person Rule = "person"
	// Sum is money: it becomes zero.
	Sum Rule = "sum"
	// List is a list of sums: it becomes empty.
	List Rule = "list"
	// FileName is what a file was called: only its ending stays.
	FileName Rule = "file name"
)

// LeftOut is a kind of thing that an edition does not hold.
type LeftOut struct {
	What  string `json:"what"`
	Why   string `json:"why"`
	Count int    `json:"count"`
}

// Leaving is what an edition leaves out.
type Leaving struct {
	Sums     bool // money
	Identity bool // names, plate, part of the VIN, what only the workshop knows
	Words    *Words
	counts   map[LeftOut]int
}

// Apply changes a tree of JSON (objects, lists, texts, numbers) by the rules,
// which are named by path: "jobs.routes.cost", lists left aside. A text without a
// rule is emptied where identity is left out: a new field of the data leaks
// nothing before somebody has thought about it.
func (l *Leaving) Apply(data []byte, rules map[string]Rule) ([]byte, error) {
	tree, err := parseJSON(data)
	if err != nil {
		return nil, err
	}
	return EncodeJSON(l.walk("", tree, rules))
}

// Count notes that something was left out.
func (l *Leaving) Count(what, why string) {
	if l.counts == nil {
		l.counts = map[LeftOut]int{}
	}
	l.counts[LeftOut{What: what, Why: why}]++
}

// List is what was left out so far, in the order of the alphabet.
func (l *Leaving) List() []LeftOut {
	list := []LeftOut{}
	for what, n := range l.counts {
		what.Count = n
		list = append(list, what)
	}
	slices.SortFunc(list, func(a, b LeftOut) int { return cmp.Or(cmp.Compare(a.What, b.What), cmp.Compare(a.Why, b.Why)) })
	return list
}

func (l *Leaving) walk(path string, v any, rules map[string]Rule) any {
	rule := rules[path]
	if l.Sums && (rule == Sum || rule == List) {
		return l.withoutMoney(path, v)
	}
	switch v := v.(type) {
	case map[string]any:
		if l.Sums && isSum(v) {
			if v["currency"] != "" {
				l.Count("sums: "+words(path), "this edition holds no money")
			}
			return map[string]any{"number": "0.00", "currency": ""}
		}
		for name, member := range v {
			v[name] = l.walk(below(path, name), member, rules)
		}
		return v
	case []any:
		for i := range v {
			v[i] = l.walk(path, v[i], rules)
		}
		return v
	case string:
		if l.Identity {
			return l.text(path, v, rule)
		}
	}
	return v
}

func below(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func words(path string) string {
	return strings.ReplaceAll(strings.ReplaceAll(path, ".", ", "), "_", " ")
}

// isSum tells an exact amount by its form.
func isSum(object map[string]any) bool {
	_, number := object["number"].(string)
	_, currency := object["currency"].(string)
	return number && currency && len(object) == 2
}

// withoutMoney empties what holds money: a list, an estimate, a number, a text.
func (l *Leaving) withoutMoney(path string, v any) any {
	zero, same := zeroed(v)
	if same {
		return v
	}
	n := 1
	if list, ok := v.([]any); ok {
		n = len(list)
	}
	for range n {
		l.Count("sums: "+words(path), "this edition holds no money")
	}
	return zero
}

// zeroed is the same shape with nothing in it, and whether that is what it was.
func zeroed(v any) (zero any, same bool) {
	switch v := v.(type) {
	case map[string]any:
		if isSum(v) {
			return map[string]any{"number": "0.00", "currency": ""}, v["currency"] == ""
		}
		out, all := map[string]any{}, true
		for name, member := range v {
			var one bool
			out[name], one = zeroed(member)
			all = all && one
		}
		return out, all
	case []any:
		return []any{}, len(v) == 0
	case json.Number:
		return json.Number("0"), v == "0"
	case string:
		return "", v == ""
	}
	return v, true
}

// text applies a rule to a text.
func (l *Leaving) text(path, s string, rule Rule) string {
	if s == "" {
		return s
	}
	switch rule {
	case Keep, Sum, List:
		return s
	case Text:
		cut, n := l.Words.Cut(s)
		for range n {
			l.Count("names, plate, VIN and sums within: "+words(path), "a person's words may name people, the car or prices")
		}
		return cut
	case VIN:
		l.Count("the last characters of the VIN", "they name this very car")
		return MaskVIN(s)
	case Person:
		name := l.Words.Person(s)
		if name != s {
			l.Count("names of people: "+words(path), "this edition names nobody")
		}
		return name
	case FileName:
		l.Count("names of files: "+words(path), "they may name people or places")
		if at := strings.LastIndexByte(s, '.'); at >= 0 && len(s)-at <= 6 {
			return "file" + s[at:]
		}
		return "file"
	}
	l.Count(words(path), "it is nobody else's business, or may tell who it was")
	return ""
}

// vinKept is how many characters of a VIN stay: the maker and the description of
// the model (ISO 3779); what follows numbers the single car.
const vinKept = 8

// MaskVIN keeps what names the model.
func MaskVIN(vin string) string {
	runes := []rune(vin)
	if len(runes) <= vinKept {
		return strings.Repeat("•", len(runes))
	}
	return string(runes[:vinKept]) + strings.Repeat("•", len(runes)-vinKept)
}
