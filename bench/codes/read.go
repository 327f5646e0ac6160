package codes

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/working"
)

// MostBytes is how long a text may be.
const MostBytes = 1 << 20

// InputError says what of a text cannot be.
type InputError struct{ Problem, Expected string }

// Error words the mistake for the person who gave the text.
func (e *InputError) Error() string { return e.Problem + "; expected " + e.Expected }

// Tables are what the package must be told: the groups of standard codes and the
// rules of inspections.
type Tables struct {
	Groups []Group
	Rules  []Rule
}

// Engine names what computed a result, with its version.
const Engine = "codes 1"

// Result is what a text holds.
type Result struct {
	Codes     []Code          `json:"codes"`
	Values    []Value         `json:"values"`
	Statuses  []Status        `json:"statuses"`
	Supported []string        `json:"supported_pids"`
	Answered  []Answered      `json:"answered"`
	Ready     *Ready          `json:"ready"` // nil without a status
	Verdict   string          `json:"verdict,omitempty"`
	Why       string          `json:"why,omitempty"`
	Notes     []string        `json:"notes"`
	Unclear   []Unclear       `json:"unclear"`
	Record    *Record         `json:"record,omitempty"` // against what was read before
	Engine    string          `json:"engine"`
	Working   working.Working `json:"working"`
}

// Answered is what one control unit answered when it was asked for its codes of one
// sort, or what was listed in words: what is not among these was not asked for, and
// that no such code was read says nothing.
type Answered struct {
	State string `json:"state"` // stored, pending, permanent; empty: in words
	From  string `json:"from"`  // header; empty: not told
	Codes int    `json:"codes"`
}

// answered adds an answer up, by unit and sort of code.
func (r *Result) answered(state, from string, n int) {
	i := slices.IndexFunc(r.Answered, func(a Answered) bool { return a.State == state && a.From == from })
	if i < 0 {
		r.Answered = append(r.Answered, Answered{state, from, n})
		return
	}
	r.Answered[i].Codes += n
}

// none are lines that say that there is no code.
var none = []string{"none", "no codes", "no code", "no fault codes", "no codes stored"}

// Read reads a text. The error is an [*InputError]: a text in which nothing is a
// code or an answer.
func Read(text string, place Place, tables Tables) (Result, error) {
	r := Result{
		Codes: []Code{}, Values: []Value{}, Statuses: []Status{}, Supported: []string{}, Answered: []Answered{}, Notes: []string{},
		Unclear: []Unclear{}, Engine: Engine, Working: working.Working{},
	}
	if len(text) > MostBytes {
		return r, &InputError{"the text is larger than 1 MiB", "the codes and answers of one reading"}
	}
	understood := 0
	var b bus
	for i, line := range strings.Split(strings.ReplaceAll(text, "\r", "\n"), "\n") {
		if n, ok := lengthAhead(line); ok {
			b.length = n
			continue
		}
		if nth, data, ok := numbered(line); ok {
			understood += r.numberedLine(&b, nth, data, i+1, line, tables)
			continue
		}
		if frames, ok := framesOf(line); ok {
			for _, f := range frames {
				understood += r.frame(&b, f.header, f.data, i+1, line, tables)
			}
			continue
		}
		if header, data, ok := bytesOf(line); ok {
			understood += r.frame(&b, header, data, i+1, line, tables)
		} else {
			understood += r.words(line, i+1, tables)
		}
	}
	for _, u := range b.open {
		r.Unclear = append(r.Unclear, Unclear{Line: u.line, Text: fmt.Sprintf("answer of %s", u.from), Why: "its last frames are missing"})
	}
	if b.lines != nil {
		r.Unclear = append(r.Unclear, Unclear{Line: b.lines.line, Text: "numbered lines", Why: "its last lines are missing"})
	}
	if understood == 0 {
		return r, r.nothing()
	}
	r.finish(place, tables)
	return r, nil
}

// frame takes up a line of bytes; it gives 1 where that told something.
func (r *Result) frame(b *bus, header string, data []byte, at int, line string, tables Tables) int {
	a, whole, why := b.take(header, data, at)
	if whole {
		why = r.answer(a, tables)
	}
	switch {
	case why != "":
		r.Unclear = append(r.Unclear, Unclear{Line: at, Text: strings.TrimSpace(line), Why: why})
		return 0
	case asked(header, data):
		return 0
	}
	return 1
}

// words takes up the codes in a line of text; it gives how much that told.
func (r *Result) words(line string, at int, tables Tables) int {
	found, unclear := look(line, at, tables.Groups)
	for _, c := range found {
		r.Codes = add(r.Codes, c)
	}
	r.Unclear = append(r.Unclear, unclear...)
	if len(found) > 0 {
		r.answered("", "", len(found))
	}
	for _, word := range none {
		if strings.EqualFold(strings.Trim(strings.TrimSpace(line), "."), word) {
			r.answered("", "", 0)
			return 1
		}
	}
	return len(found)
}

// nothing says why a text holds nothing.
func (r Result) nothing() error {
	const expected = "codes such as P0301, or answers in hexadecimal such as 41 0C 1A F8"
	if len(r.Unclear) == 0 {
		return &InputError{"no code and no answer of a car is in it", expected}
	}
	u := r.Unclear[0]
	e := &InputError{fmt.Sprintf("line %d: %q: %s", u.Line, shorten(u.Text), u.Why), expected}
	if u.Try != "" {
		e.Expected = u.Try + ", if that was meant (" + expected + ")"
	}
	return e
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// answer takes up one answer; why says what cannot be read.
func (r *Result) answer(a answer, tables Tables) (why string) {
	switch service := a.data[0]; service {
	case 0x41:
		return r.live(a, a.data[1:], 0)
	case 0x42:
		return r.live(a, a.data[1:], 1)
	case 0x43, 0x47, 0x4A:
		state := map[byte]string{0x43: "stored", 0x47: "pending", 0x4A: "permanent"}[service]
		list, why := codesOf(a)
		for _, text := range list {
			c := describe(text, tables.Groups)
			c.State, c.Line = state, a.line
			r.Codes = add(r.Codes, c)
		}
		if len(list) > 0 || why == "" {
			r.answered(state, a.from, len(list))
		}
		return why
	case 0x44:
		r.Notes = append(r.Notes, "the codes were cleared: what the record before says is gone from the car")
		return ""
	case 0x7F:
		return "the control unit refused the request"
	}
	if asked(a.from, a.data) {
		return ""
	}
	return "no answer to a service that is known here (41, 42, 43, 44, 47, 4A at its beginning)"
}

// asked reports the request itself, shown back.
func asked(from string, data []byte) bool { return from == "" && data[0] <= 0x0A && len(data) <= 3 }

// live takes up the values of an answer; several may stand one after another.
// skip is the bytes between identifier and value (the number of a freeze frame).
func (r *Result) live(a answer, data []byte, skip int) (why string) {
	for len(data) > 0 {
		pid := data[0]
		p, ok := parameterOf(pid)
		if pid == 0x01 {
			p, ok = parameter{4, nil}, true
		}
		if !ok {
			return fmt.Sprintf("identifier %02X is not worked out here", pid)
		}
		if len(data) < 1+skip+p.bytes {
			return fmt.Sprintf("identifier %02X needs %d bytes, here are %d", pid, p.bytes, max(len(data)-1-skip, 0))
		}
		r.value(a, pid, p, data[1+skip:1+skip+p.bytes], skip > 0)
		data = data[1+skip+p.bytes:]
		if !a.exact && onlyFilling(data) {
			break
		}
	}
	return ""
}

// onlyFilling reports bytes that fill a frame up.
func onlyFilling(data []byte) bool {
	for _, b := range data {
		if b != 0x00 && b != 0x55 && b != 0xAA && b != 0xFF {
			return false
		}
	}
	return true
}

func (r *Result) value(a answer, pid byte, p parameter, data []byte, frozen bool) {
	switch {
	case pid == 0x01 && !frozen:
		s := statusOf(data)
		s.From, s.Line = a.from, a.line
		r.Statuses = append(r.Statuses, s)
		return
	case pid%0x20 == 0:
		for i := range 32 {
			if data[i/8]>>(7-i%8)&1 == 1 {
				r.Supported = append(r.Supported, fmt.Sprintf("%02X", int(pid)+i+1))
			}
		}
		return
	}
	for _, s := range p.scales {
		x, ok := s.work(data)
		if !ok {
			continue
		}
		name := s.name
		if frozen {
			name += " when the code was set"
		}
		raw := fmt.Sprintf("% X", data)
		r.Values = append(r.Values, Value{fmt.Sprintf("%02X", pid), name, x, s.unit, s.formula, raw, a.from, a.line})
		r.Working.Add(name+" out of "+raw, s.formula, x, s.unit, "SAE_J1979 service 01 scaling")
	}
	if p.scales == nil && pid != 0x01 {
		r.Notes = append(r.Notes, fmt.Sprintf("identifier %02X is a list of states that is not spelled out here: % X", pid, data))
	}
}

// soon is how little has passed since the codes were cleared for a note: own
// estimate.
//
// ref: DESIGN_CODES cleared lately
var soon = map[string]float64{"30": 10, "31": 200, "4E": 600}

// finish judges what was read as a whole.
func (r *Result) finish(place Place, tables Tables) {
	for _, v := range r.Values {
		if most, ok := soon[v.PID]; ok && v.Value <= most {
			r.Notes = append(r.Notes, strings.TrimSpace(fmt.Sprintf("%s: %g %s", v.Name, v.Value, v.Unit))+
				": the codes were cleared lately, so that none are there proves little")
		}
	}
	if len(r.Statuses) > 0 {
		got := ready(r.Statuses, place, tables.Rules)
		r.Ready, r.Verdict, r.Why = &got, got.Verdict, got.Why
		for _, s := range r.Statuses {
			if s.Codes > 0 && len(r.Codes) == 0 {
				r.Notes = append(r.Notes, fmt.Sprintf("the control unit counts %d of its codes, and none was read: ask it for them (service 03)", s.Codes))
			}
		}
		r.Working.Add("self-tests not complete", "those that the car has (C) whose bit in D is set", float64(len(got.Incomplete)), "", "SAE_J1979 PID 01")
	}
	for _, c := range r.Codes {
		r.Working.Add(c.String(), "letter: system; first digit: standard or maker's; then the group and the fault", float64(c.Times), "", "SAE_J2012 structure of a code")
	}
}
