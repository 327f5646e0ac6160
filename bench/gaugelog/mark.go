package gaugelog

import "strings"

// Kind is what a mark says.
type Kind int

// The marks that are understood.
const (
	PumpOn Kind = iota
	PumpOff
	Operated
)

// KindOf understands a mark: the pump starting or stopping, or something
// operated (a shift, a brake, a valve).
func KindOf(text string) (Kind, bool) {
	words := " " + strings.Join(wordsOf(text), " ") + " "
	has := func(list ...string) bool {
		for _, w := range list {
			if strings.Contains(words, " "+w) {
				return true
			}
		}
		return false
	}
	switch {
	case has("pump", "motor", "relay") && has("on ", "start"), strings.TrimSpace(words) == "on":
		return PumpOn, true
	case has("pump", "motor", "relay") && has("off ", "stop", "end"), strings.TrimSpace(words) == "off":
		return PumpOff, true
	case has("shift", "gear", "actuat", "operat", "brake", "pedal", "valve", "clutch", "upshift", "downshift"):
		return Operated, true
	}
	return 0, false
}

// pumpState puts the state of a pump into words.
func pumpState(cell []byte) []byte {
	switch strings.ToLower(string(cell)) {
	case "1", "on", "true", "yes", "high":
		return []byte("pump on")
	case "0", "off", "false", "no", "low":
		return []byte("pump off")
	}
	return cell
}
