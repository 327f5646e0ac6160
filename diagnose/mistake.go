package diagnose

// Mistake is an input that cannot be: an impossible outcome, a fault nobody can
// cure. Where is a path such as "tests.gauge.outcomes.gas_loss" or "evidence.2",
// from which the reader of a file finds the line.
type Mistake struct {
	Where string
	What  string
}

// Error is part of error.
func (m *Mistake) Error() string { return m.Where + ": " + m.What }
