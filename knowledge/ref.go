package knowledge

import (
	"fmt"
	"regexp"
	"strings"
)

// Ref is a citation: the key of a source in the register and the place in it.
type Ref struct {
	Key   string
	Where string // clause, table, equation, page, function; may be empty
}

// String is the citation as it is written.
func (r Ref) String() string { return strings.TrimSpace(r.Key + " " + r.Where) }

var keyForm = regexp.MustCompile(`^[A-Z][A-Z0-9_]*$`)

// commaKey is a comma before a word that can only be a key.
var commaKey = regexp.MustCompile(`,\s+([A-Z][A-Z0-9]*_[A-Z0-9_]*\b)`)

// ParseRefs reads citations as they stand after "ref:": a key in capitals,
// digits and underscores, then the place up to a semicolon or the end;
// "ISO_898 table 5; VDI_2230 eq. 3" are two. A comma divides too where a key
// with an underscore follows, and is part of the place elsewhere. A full stop at
// the end of the text belongs to the sentence, not to the place.
func ParseRefs(text string) ([]Ref, error) {
	var refs []Ref
	text = strings.TrimSuffix(strings.TrimSpace(text), ".")
	for _, part := range strings.Split(commaKey.ReplaceAllString(text, "; $1"), ";") {
		fields := strings.Fields(part)
		if len(fields) == 0 {
			return nil, fmt.Errorf("citation %q: a part is empty; expected KEY WHERE, several divided by semicolons", text)
		}
		if !keyForm.MatchString(fields[0]) {
			return nil, fmt.Errorf("citation %q: %q is no key; expected capitals, digits and underscores, as in knowledge/sources.yaml", text, fields[0])
		}
		refs = append(refs, Ref{fields[0], strings.Join(fields[1:], " ")})
	}
	return refs, nil
}

// UnmarshalYAML lets a data file give citations as one text.
func (r *Refs) UnmarshalYAML(unmarshal func(any) error) error {
	var text string
	if err := unmarshal(&text); err != nil {
		return err
	}
	refs, err := ParseRefs(text)
	*r = refs
	return err
}

// Refs are the citations of one value.
type Refs []Ref

// String is the citations as they are written, divided by semicolons.
func (r Refs) String() string {
	parts := make([]string, 0, len(r))
	for _, ref := range r {
		parts = append(parts, ref.String())
	}
	return strings.Join(parts, "; ")
}
