package web

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"wreckwright/workshop"
)

// Ways in which an angle may be typed: "-1°18'" or "-1 18", "18'", "-1.3" or
// "-1.3°"; "in" and "out" stand for the sign of a camber.
var (
	degreesAndMinutes = regexp.MustCompile(`^([+\-−]?)\s*(\d{1,3})\s*(?:°|º|deg|d|\s)\s*(\d{1,2}(?:[.,]\d+)?)\s*(?:'|′|’|min|m)?$`)
	minutesAlone      = regexp.MustCompile(`^([+\-−]?)\s*(\d{1,4}(?:[.,]\d+)?)\s*(?:'|′|’|min|m)$`)
)

// angle reads an angle in degrees, whichever way it was typed.
func (t readingText) angle(text string) (float64, error) {
	text = strings.TrimSpace(text)
	if m := degreesAndMinutes.FindStringSubmatch(text); m != nil {
		whole, _ := strconv.ParseFloat(m[2], 64)
		minutes, err := strconv.ParseFloat(strings.Replace(m[3], ",", ".", 1), 64)
		if err != nil || minutes >= 60 {
			return 0, fmt.Errorf("%q: minutes run from 0 to 59", shortText(text))
		}
		return withSign(m[1], whole+minutes/60), nil
	}
	if m := minutesAlone.FindStringSubmatch(text); m != nil {
		minutes, err := strconv.ParseFloat(strings.Replace(m[2], ",", ".", 1), 64)
		if err != nil {
			return 0, fmt.Errorf("%q is not an angle", shortText(text))
		}
		return withSign(m[1], minutes/60), nil
	}
	v, err := t.number(strings.TrimRight(strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(text, "°"), "º")), " "))
	if err != nil {
		return 0, fmt.Errorf("%q is not an angle: write -1.3 or -1°18'", shortText(text))
	}
	return v, nil
}

func withSign(sign string, v float64) float64 {
	if sign == "-" || sign == "−" {
		return -v
	}
	return v
}

// typedAngle is an angle as a form holds it: fine enough that nothing is lost.
func typedAngle(v float64, show string) string {
	if show != workshop.ShowMinutes {
		return trimNumber(math.Round(v*1e4) / 1e4)
	}
	hundredths := math.Round(math.Abs(v) * 6000)
	whole := math.Floor(hundredths / 6000)
	text := trimNumber(whole) + "°" + trimNumber((hundredths-6000*whole)/100) + "'"
	if v < 0 && hundredths > 0 {
		return "-" + text
	}
	return text
}

// saidAngle is an angle as a page says it: to a hundredth of a degree or a minute.
func saidAngle(v float64, show string) string {
	sign := ""
	if v < 0 {
		sign = "\u2212"
	}
	if show != workshop.ShowMinutes {
		text := strconv.FormatFloat(math.Abs(v), 'f', 2, 64)
		if text == "0.00" {
			sign = ""
		}
		return sign + text + "°"
	}
	minutes := int(math.Round(math.Abs(v) * 60))
	if minutes == 0 {
		sign = ""
	}
	return fmt.Sprintf("%s%d°%02d′", sign, minutes/60, minutes%60)
}

// anglesForm turns the fields of the page into the lines of a case file.
type anglesForm struct {
	*Form
	t    readingText
	show string
	file caseLines

	leftOut []string // what is half read, and what it needs
}

// measure takes over a plain number, where one was typed.
func (f *anglesForm) measure(key string) bool {
	v := f.measured(f.t, key, workshop.AngleKeyWords(key))
	if v != nil {
		f.file.number(key, *v)
	}
	return v != nil
}

// slant takes over an angle, where one was typed, and writes it back as it was
// understood.
func (f *anglesForm) slant(key string) bool {
	v, ok := f.angleAt(key, workshop.AngleKeyWords(key))
	if ok {
		f.file.number(key, v)
	}
	return ok
}

func (f *anglesForm) angleAt(field, name string) (float64, bool) {
	text := f.Value(field)
	if text == "" {
		return 0, false
	}
	v, err := f.t.angle(text)
	if err != nil {
		f.problem(field, "%s: %v", name, err)
		return 0, false
	}
	f.Set(field, typedAngle(v, f.show))
	return v, true
}
