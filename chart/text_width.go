package chart

import "strings"

// Sizes of text in user units; chart.css sets the same and a test compares both.
const (
	textSize  = 13.0
	smallSize = 12.0
	boldWider = 1.1 // semi-bold text against regular
)

// textWidth estimates how wide s is in a common sans-serif face, on the wide side: a label that is thought too wide
// costs a little space, one thought too narrow would run into its neighbour.
func textWidth(s string, size float64) float64 {
	w := 0.0
	for _, r := range s {
		w += runeWidth(r)
	}
	return w * size
}

func runeWidth(r rune) float64 {
	switch {
	case strings.ContainsRune("ijl.,:;'|!·\u202f", r):
		return 0.34
	case strings.ContainsRune("ft r()[]-/I\u00a0", r):
		return 0.43
	case strings.ContainsRune("mwMW%@—…", r):
		return 0.98
	case r >= '0' && r <= '9', r >= 'a' && r <= 'z':
		return 0.62
	case r < 0x250, r == '−', r == '–', r == '€':
		return 0.74
	}
	return 1.05
}

// cut shortens s to the width with an ellipsis and says whether it had to.
func cut(s string, size, width float64) (string, bool) {
	if textWidth(s, size) <= width {
		return s, false
	}
	runes := []rune(s)
	for n := len(runes) - 1; n > 0; n-- {
		short := strings.TrimRight(string(runes[:n]), " ") + "…"
		if textWidth(short, size) <= width {
			return short, true
		}
	}
	return "…", true
}

// wrap breaks s at spaces into at most most lines of the width and cuts what is still too long.
func wrap(s string, size, width float64, most int) (lines []string, short bool) {
	line := ""
	words := strings.Fields(s)
	for i, word := range words {
		joined := strings.TrimSpace(line + " " + word)
		if line == "" || textWidth(joined, size) <= width {
			line = joined
			continue
		}
		if len(lines) == most-1 {
			line += " " + strings.Join(words[i:], " ")
			break
		}
		lines = append(lines, line)
		line = word
	}
	if line != "" {
		lines = append(lines, line)
	}
	for i, l := range lines {
		c, was := cut(l, size, width)
		lines[i], short = c, short || was
	}
	return lines, short
}
