package working

// Step is one line of a working.
type Step struct {
	What    string  `json:"what"`    // the figure, in the user's words
	Formula string  `json:"formula"` // how it follows from the lines above it
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"`   // "GBP", "h", "mm", "" for a plain number
	Source  string  `json:"source"` // key in knowledge/sources.yaml, "own estimate" or "common practice, no source"
}

// Working is the ordered steps of one computation.
type Working []Step

// Add appends a step.
func (w *Working) Add(what, formula string, value float64, unit, source string) {
	*w = append(*w, Step{What: what, Formula: formula, Value: value, Unit: unit, Source: source})
}
