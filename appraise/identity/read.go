package identity

import (
	"fmt"
	"strings"

	"wreckwright/working"
)

// Options are what is known beside the number.
type Options struct {
	NorthAmerica bool // built for the market of the US, Canada or Mexico, wherever it was built
	ThisYear     int  // to remark on model years to come; 0: not known
}

// Result is what a number says.
type Result struct {
	VIN             string     `json:"vin"` // capital letters, no spaces
	ValidCharacters bool       `json:"valid_characters"`
	CheckDigit      CheckDigit `json:"check_digit"`

	Region  string `json:"region"`  // "" where not known
	Country string `json:"country"` // "" where not known
	Maker   string `json:"maker_code"`
	Vehicle string `json:"vehicle_code"` // positions 4 to 9
	Serial  string `json:"serial_code"`  // positions 10 to 17

	ModelYears []int           `json:"model_years"` // candidates, earliest first
	Readings   []Reading       `json:"readings"`    // one character read otherwise, and the check digit fits
	Notes      []string        `json:"notes"`
	Limits     []string        `json:"limits"` // what a check digit can and cannot catch
	Sources    []string        `json:"sources"`
	Working    working.Working `json:"working"`
}

// Read reads a number. The error, for a text that cannot be one, is an
// [*InputError].
func Read(text string, tables Tables, with Options) (Result, error) {
	vin, notes := clean(text)
	if err := checkLength(vin); err != nil {
		return Result{}, err
	}
	r := Result{VIN: vin, Notes: notes, ModelYears: []int{}, Readings: []Reading{}, Limits: limits(), Sources: []string{}, Working: working.Working{}}
	if bad := badCharacters(vin); len(bad) > 0 {
		r.Notes = append(r.Notes, bad...)
		r.readOtherwise(tables, with)
		return r, nil
	}
	r.ValidCharacters = true
	place := tables.place(vin)
	r.Region, r.Country = place.Region, place.Country
	if place.Source != "" {
		r.Sources = append(r.Sources, place.Source)
	}
	r.Maker, r.Vehicle, r.Serial = vin[:3], vin[3:9], vin[9:]
	r.CheckDigit = judge(vin, place.CheckDigit || with.NorthAmerica, placeName(place, with))
	if r.CheckDigit.State == StateWrong {
		r.Readings = readings(vin)
	}
	years, remarks := modelYears(vin, place.Position7 || with.NorthAmerica, with.ThisYear)
	r.ModelYears = years
	r.Notes = append(r.Notes, r.remarks()...)
	r.Notes = append(r.Notes, remarks...)
	r.Working = explain(vin)
	return r, nil
}

func placeName(s Span, with Options) string {
	switch {
	case with.NorthAmerica && !s.CheckDigit:
		return "cars built for North America"
	case s.Country != "":
		return s.Country
	case s.Region != "":
		return s.Region
	}
	return "this beginning"
}

// readOtherwise fills what can be said where I, O or Q stand in the number: what
// it is when they are read as the digits that they look like.
func (r *Result) readOtherwise(tables Tables, with Options) {
	runes := []rune(r.VIN)
	r.CheckDigit = CheckDigit{Found: string(runes[checkPlace]), State: StateNotApplicable, Why: "not worked out: the characters are not those of a VIN"}
	read, ok := withoutLookalikes(r.VIN)
	if !ok {
		return
	}
	place := tables.place(read)
	if !place.CheckDigit && !with.NorthAmerica {
		r.Notes = append(r.Notes, "Read as "+read+" it would be possible; there is no check digit there to tell. Look at the plate again.")
		return
	}
	if _, digit := checkDigit(read); digit == read[checkPlace] {
		r.Notes = append(r.Notes, "Read as "+read+" the check digit fits. Look at the plate again.")
		for i := range len(read) {
			if rune(read[i]) != runes[i] {
				r.Readings = append(r.Readings, Reading{read, i + 1, string(runes[i]), read[i : i+1]})
			}
		}
		return
	}
	r.Notes = append(r.Notes, "Read as "+read+" the check digit does not fit either: something else was misread too.")
}

// remarks are the notes on a number with possible characters.
func (r *Result) remarks() (notes []string) {
	vin := r.VIN
	if r.Region == "" {
		notes = append(notes, fmt.Sprintf("%s is the beginning of no region known here.", vin[:2]))
	}
	if strings.Count(vin, vin[:1]) == Length {
		notes = append(notes, "All characters are the same: no car has this number, whatever its check digit says.")
	}
	if vin[2] == '9' {
		notes = append(notes, "Position 3 is 9: a maker of few vehicles, named only together with positions 12 to 14 ("+vin[11:14]+").")
	}
	if strings.Trim(vin[13:], "0123456789") != "" {
		notes = append(notes, "The last four characters should be digits (ISO 3779, from memory); here they are "+vin[13:]+".")
	}
	if c := vin[checkPlace]; r.CheckDigit.Mandatory && (c < '0' || c > '9') && c != 'X' {
		notes = append(notes, fmt.Sprintf("Position 9 is %c; a check digit is 0 to 9 or X.", c))
	}
	for _, reading := range r.Readings {
		notes = append(notes, fmt.Sprintf("With %s for %s in position %d the check digit would fit.", reading.To, reading.From, reading.Place))
	}
	return notes
}

// limits say what a check digit is good for. They follow from the arithmetic and
// are held by a test.
//
// ref: DESIGN_IDENTITY what a check digit catches
func limits() []string {
	return []string{
		"A check digit catches any one character that was misread as one of another value, and any two different neighbours that were swapped and count differently, position 9 apart.",
		"It cannot catch characters of the same value taken for one another: A J 1, B K S 2, C L T 3, D M U 4, E N V 5, F W 6, G P X 7, H Y 8, R Z 9.",
		"It says nothing of whether the number belongs to this car: a copied number fits too. Compare the plate, the stamping in the body and the papers.",
	}
}
