package knowledge

import (
	"fmt"
	"slices"
	"strings"
	"sync"
)

// VINSpan is a run of first characters of vehicle identification numbers and
// who gives them. Characters run A to Z without I, O, Q, then 1 to 9, then 0.
type VINSpan struct {
	From       string `yaml:"from"`
	To         string `yaml:"to"`
	Region     string `yaml:"region"`  // empty for a country: that of its first character
	Country    string `yaml:"country"` // empty for a region
	CheckDigit bool   `yaml:"check_digit"`
	Position7  bool   `yaml:"position_7"`
	Refs       Refs   `yaml:"ref"`
}

// VINRegions lists the regions by the first character.
func VINRegions() []VINSpan { return copySpans(vinRegions()) }

// VINCountries lists the countries by the first two characters; they win over
// the regions.
func VINCountries() []VINSpan { return copySpans(vinCountries()) }

func copySpans(list []VINSpan) []VINSpan {
	list = slices.Clone(list)
	for i := range list {
		list[i].Refs = slices.Clone(list[i].Refs)
	}
	return list
}

var (
	vinRegions   = sync.OnceValue(func() []VINSpan { return load("vin_regions.yaml", checkSpans(1)) })
	vinCountries = sync.OnceValue(func() []VINSpan { return load("vin_countries.yaml", checkSpans(2)) })
)

// vinOrder is the order of the characters.
const vinOrder = "ABCDEFGHJKLMNPRSTUVWXYZ1234567890"

// checkSpans holds a list to spans of that many characters that run forward and
// do not overlap.
func checkSpans(length int) func([]VINSpan) error {
	return func(list []VINSpan) error {
		taken := map[string]string{}
		for _, s := range list {
			name := s.From + " to " + s.To
			members, err := spanMembers(s, length)
			if err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
			for _, m := range members {
				if by, ok := taken[m]; ok {
					return fmt.Errorf("%s: %s belongs to %s already", name, m, by)
				}
				taken[m] = name
			}
		}
		return checkEntries(list, func(s VINSpan) entry {
			return entry{s.From + " to " + s.To, []string{s.Region + s.Country}, s.Refs}
		})
	}
}

// spanMembers are the beginnings in a span.
func spanMembers(s VINSpan, length int) ([]string, error) {
	if len(s.From) != length || len(s.To) != length || s.From[:length-1] != s.To[:length-1] {
		return nil, fmt.Errorf("expected two beginnings of %d characters that differ in the last one only", length)
	}
	from, to := strings.IndexByte(vinOrder, s.From[length-1]), strings.IndexByte(vinOrder, s.To[length-1])
	if from < 0 || to < from {
		return nil, fmt.Errorf("expected characters in the order %s", vinOrder)
	}
	var members []string
	for i := from; i <= to; i++ {
		members = append(members, s.From[:length-1]+vinOrder[i:i+1])
	}
	return members, nil
}
