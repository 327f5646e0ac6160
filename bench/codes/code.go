package codes

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// The origins of a code.
const (
	Standard = "standard"
	Maker    = "maker"
	Reserved = "reserved"
)

// Code is one fault code by its structure.
type Code struct {
	Code        string `json:"code"`         // "P0301"
	FailureType string `json:"failure_type"` // two hexadecimal digits after it, where given
	State       string `json:"state"`        // stored, pending, permanent; empty where not told
	System      string `json:"system"`       // powertrain, chassis, body, network
	Origin      string `json:"origin"`       // who gave the code its meaning: standard, maker, reserved
	Group       string `json:"group"`        // what such codes are about; empty for a maker's
	Cylinder    int    `json:"cylinder"`     // 0: names none
	Meaning     string `json:"meaning"`      // all of it in a sentence
	Times       int    `json:"times"`        // how often it stands in what was read
	Line        int    `json:"line"`         // where first, counted from 1
}

// Group is a run of standard codes and what they are about.
type Group struct {
	From, To string
	Text     string
	Cylinder bool // the codes count cylinders from the first on
}

// systems by letter, in the order of the two highest bits.
//
// ref: SAE_J2012 two bytes to a code
const letters = "PCBU"

var systems = map[byte]string{'P': "powertrain", 'C': "chassis", 'B': "body", 'U': "network"}

// fromBytes is the code in two bytes; ok is false for 0000, which is none.
//
// ref: SAE_J2012 two bytes to a code
func fromBytes(high, low byte) (text string, ok bool) {
	if high == 0 && low == 0 {
		return "", false
	}
	return fmt.Sprintf("%c%d%X%02X", letters[high>>6], high>>4&3, high&15, low), true
}

// origin tells who gave a code its meaning.
//
// ref: SAE_J2012 standard and maker's codes
func origin(code string) string {
	switch {
	case code[0] == 'P' && code[1] == '3':
		if code[2] >= '4' {
			return Standard
		}
		return Maker
	case code[0] == 'P' && code[1] == '2', code[1] == '0':
		return Standard
	case code[1] == '3':
		return Reserved
	}
	return Maker
}

// describe fills in what the structure and the groups say of a code.
func describe(code string, groups []Group) Code {
	c := Code{Code: code, System: systems[code[0]], Origin: origin(code), Times: 1}
	if c.Origin == Standard {
		if g, ok := narrowest(code, groups); ok {
			c.Group = g.Text
			if g.Cylinder {
				c.Cylinder = int(number(code)-number(g.From)) + 1
			}
		}
	}
	c.Meaning = c.sentence()
	return c
}

// number is the digits of a code as a number.
func number(code string) int64 {
	n, _ := strconv.ParseInt(code[1:], 16, 32)
	return n
}

// narrowest is the shortest run of codes that holds one.
func narrowest(code string, groups []Group) (Group, bool) {
	best, found := Group{}, false
	for _, g := range groups {
		if g.From[0] != code[0] || number(code) < number(g.From) || number(code) > number(g.To) {
			continue
		}
		if !found || number(g.To)-number(g.From) < number(best.To)-number(best.From) {
			best, found = g, true
		}
	}
	return best, found
}

func (c Code) sentence() string {
	switch {
	case c.Origin == Maker:
		return c.System + ", a code of the maker's own: only the maker's manual says what it means"
	case c.Origin == Reserved:
		return c.System + ", reserved: look in the maker's manual"
	case c.Group == "":
		return c.System + ", a standard code of a group that is not listed here: look it up in the maker's manual"
	case c.Cylinder > 0:
		return fmt.Sprintf("%s, standard: %s, cylinder %d", c.System, c.Group, c.Cylinder)
	}
	return c.System + ", standard: " + c.Group
}

// key is what makes two codes the same.
func (c Code) key() string { return c.Code + "-" + c.FailureType }

// String is the code as it is written.
func (c Code) String() string {
	if c.FailureType == "" {
		return c.Code
	}
	return c.Code + "-" + c.FailureType
}

// states in the order of their weight.
var states = []string{"", "pending", "stored", "permanent"}

// add takes a code up, once however often it stands there.
func add(list []Code, c Code) []Code {
	i := slices.IndexFunc(list, func(have Code) bool { return have.key() == c.key() })
	if i < 0 {
		return append(list, c)
	}
	list[i].Times++
	if slices.Index(states, c.State) > slices.Index(states, list[i].State) {
		list[i].State = c.State
	}
	return list
}

// Record is what changed between two readings.
type Record struct {
	Gone   []string `json:"gone"`
	Stayed []string `json:"stayed"`
	New    []string `json:"new"`
	Text   string   `json:"text"`
}

// Compare holds codes before work against those after it, without their failure
// types where only one of the two has them.
func Compare(before, after []Code) Record {
	r := Record{Gone: []string{}, Stayed: []string{}, New: []string{}}
	in := func(c Code, list []Code) bool {
		return slices.ContainsFunc(list, func(o Code) bool {
			return o.Code == c.Code && (o.FailureType == c.FailureType || o.FailureType == "" || c.FailureType == "")
		})
	}
	for _, c := range before {
		if in(c, after) {
			r.Stayed = append(r.Stayed, c.String())
		} else {
			r.Gone = append(r.Gone, c.String())
		}
	}
	for _, c := range after {
		if !in(c, before) {
			r.New = append(r.New, c.String())
		}
	}
	parts := []string{}
	for _, p := range []struct {
		word string
		list []string
	}{{"gone", r.Gone}, {"still there", r.Stayed}, {"new", r.New}} {
		if len(p.list) > 0 {
			parts = append(parts, p.word+": "+strings.Join(p.list, ", "))
		}
	}
	r.Text = strings.Join(parts, "; ")
	if r.Text == "" {
		r.Text = "no codes before, none after"
	}
	return r
}
