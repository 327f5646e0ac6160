package workshop

import "testing"

func TestPhrase(t *testing.T) {
	p := phrase("%s by %s, %s", chance("a", 0.714), day("b", "2026-12-24"), money("c", 36_828.6, "GBP"))
	if got, want := p.String(), "71 % by 2026-12-24, GBP 36,829"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := p.Say(func(f Figure) string { return "<" + f.Label + ">" }); got != "<a> by <b>, <c>" {
		t.Errorf("%q", got)
	}
	// What a person typed is no pattern.
	if got := words("100%s off").Say(func(Figure) string { return "!" }); got == "100! off" || len(got) < len("100%s off") {
		t.Errorf("%q", got)
	}
}

// Certainty is only said of what is certain.
func TestPercent(t *testing.T) {
	for _, tt := range []struct {
		p    float64
		want string
	}{{0, "0 %"}, {0.004, "<1 %"}, {0.01, "1 %"}, {0.5, "50 %"}, {0.99, "99 %"}, {0.9996, ">99 %"}, {1, "100 %"}} {
		if got := Percent(tt.p); got != tt.want {
			t.Errorf("%v: %q, want %q", tt.p, got, tt.want)
		}
	}
}
