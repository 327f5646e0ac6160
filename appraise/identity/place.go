package identity

import "strings"

// Span is a run of first characters (one or two) and who gives numbers that
// begin with them. Characters run A to Z, then 1 to 9, then 0.
type Span struct {
	From, To   string // "SA" to "SM"
	Region     string
	Country    string // "" for a whole region
	CheckDigit bool   // the law asks for a check digit
	Position7  bool   // position 7 tells the half of the years' cycle
	Source     string // citation
}

// Tables are the spans, as knowledge holds them.
type Tables struct {
	Regions   []Span // by the first character
	Countries []Span // by the first two; they win over regions
}

// order is the order of the characters within a span.
//
// ref: ISO_3780 order of characters
const order = "ABCDEFGHJKLMNPRSTUVWXYZ1234567890"

// rank is the place of a text in that order, and whether all its characters
// have one.
func rank(text string) (n int, ok bool) {
	for i := range len(text) {
		place := strings.IndexByte(order, text[i])
		if place < 0 {
			return 0, false
		}
		n = n*len(order) + place
	}
	return n, true
}

func find(spans []Span, text string) (Span, bool) {
	at, ok := rank(text)
	if !ok {
		return Span{}, false
	}
	for _, s := range spans {
		from, ok1 := rank(s.From)
		to, ok2 := rank(s.To)
		if ok1 && ok2 && len(s.From) == len(text) && from <= at && at <= to {
			return s, true
		}
	}
	return Span{}, false
}

// place is where a number was given: the region, and the country where the
// tables name it.
func (t Tables) place(vin string) Span {
	region, _ := find(t.Regions, vin[:1])
	country, ok := find(t.Countries, vin[:2])
	if !ok {
		return region
	}
	if country.Region == "" {
		country.Region = region.Region
	}
	country.CheckDigit = country.CheckDigit || region.CheckDigit && country.Region == region.Region
	country.Position7 = country.Position7 || region.Position7 && country.Region == region.Region
	return country
}
