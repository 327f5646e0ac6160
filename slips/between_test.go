package slips

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestBetween: words whose distance can be counted by hand.
func TestBetween(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0},
		{"", "abc", 3},
		{"strip", "strip", 0},
		{"strip", "stripp", 1},
		{"upright", "uprihgt", 2},
		{"kitten", "sitting", 3},
		{strings.Repeat("a", 65), "a", 64},
	} {
		if got := Between(c.a, c.b); got != c.want {
			t.Errorf("between %q and %q: %d, expected %d", c.a, c.b, got, c.want)
		}
	}
}

func TestBetweenIsADistance(t *testing.T) {
	word := rapid.StringMatching(`[ab]{0,8}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := word.Draw(t, "a"), word.Draw(t, "b"), word.Draw(t, "c")
		if Between(a, b) != Between(b, a) || (Between(a, b) == 0) != (a == b) || Between(a, c) > Between(a, b)+Between(b, c) {
			t.Fatalf("%q %q %q", a, b, c)
		}
	})
}
