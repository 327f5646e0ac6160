package knowledge

import (
	"slices"
	"strings"
	"testing"
)

func TestParseRefs(t *testing.T) {
	tests := []struct {
		text string
		want []Ref // nil: an error
	}{
		{"A_BOOK", []Ref{{"A_BOOK", ""}}},
		{"  A_BOOK   table 2,  row 3. ", []Ref{{"A_BOOK", "table 2, row 3"}}},
		{"ISO_898 table 5; VDI_2230 eq. 3", []Ref{{"ISO_898", "table 5"}, {"VDI_2230", "eq. 3"}}},
		{"A_BOOK, B_LAW s. 3, row 2, C_1, D_2", []Ref{{"A_BOOK", ""}, {"B_LAW", "s. 3, row 2"}, {"C_1", ""}, {"D_2", ""}}},
		{"A_BOOK table 5, ISO and B_x", []Ref{{"A_BOOK", "table 5, ISO and B_x"}}},
		{"", nil},
		{"A_BOOK;", nil},
		{"A_BOOK;;B", nil},
		{"a_book", nil},
		{"9A", nil},
		{"A-BOOK", nil},
	}
	for _, tt := range tests {
		got, err := ParseRefs(tt.text)
		if (err != nil) != (tt.want == nil) || err == nil && !slices.Equal(got, tt.want) {
			t.Errorf("ParseRefs(%q) = %v, %v; want %v", tt.text, got, err, tt.want)
		}
	}
}

// FuzzParseRefs writes out whatever was read and reads it again.
func FuzzParseRefs(f *testing.F) {
	for _, seed := range []string{"A_BOOK", "ISO_898 table 5; VDI_2230 eq. 3", "A . .;B\t;", ".", "é"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		refs, err := ParseRefs(text)
		if err != nil {
			return
		}
		var parts []string
		for _, r := range refs {
			parts = append(parts, r.String())
		}
		// the dot keeps a place that itself ends in one
		again, err := ParseRefs(strings.Join(parts, "; ") + ".")
		if err != nil || !slices.Equal(again, refs) {
			t.Errorf("%q read as %v, written and read again as %v, %v", text, refs, again, err)
		}
	})
}
