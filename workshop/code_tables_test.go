package workshop

import (
	"slices"
	"testing"

	"wreckwright/bench/codes"
)

// TestReadinessNames: a rule names self-tests as the instrument does, or it
// would never fit.
func TestReadinessNames(t *testing.T) {
	for _, r := range CodeTables().Rules {
		for _, name := range r.Only {
			if !slices.Contains(codes.MonitorNames(), name) {
				t.Errorf("%s %s: %q is no self-test; expected one of %q", r.Jurisdiction, r.Region, name, codes.MonitorNames())
			}
		}
	}
}
