package identity

import (
	"fmt"

	"wreckwright/working"
)

// values are what the letters count; digits count themselves, and I, O and Q
// are not used.
//
// ref: CFR_49_565 565.15 Table III
var values = map[byte]int{
	'A': 1, 'B': 2, 'C': 3, 'D': 4, 'E': 5, 'F': 6, 'G': 7, 'H': 8,
	'J': 1, 'K': 2, 'L': 3, 'M': 4, 'N': 5, 'P': 7, 'R': 9,
	'S': 2, 'T': 3, 'U': 4, 'V': 5, 'W': 6, 'X': 7, 'Y': 8, 'Z': 9,
}

// weights are what each position counts; that of the check digit counts nothing.
//
// ref: CFR_49_565 565.15 Table IV
var weights = [Length]int{8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2}

// checkPlace is where the check digit stands, counted from 0.
const checkPlace = 8

// valueOf is what a character counts; -1 where no VIN has it.
func valueOf(c byte) int {
	if c >= '0' && c <= '9' {
		return int(c - '0')
	}
	if v, ok := values[c]; ok {
		return v
	}
	return -1
}

// checkDigit is the weighted sum of a number with possible characters, and the
// digit that belongs in position 9.
//
// ref: CFR_49_565 565.15 Table V
func checkDigit(vin string) (sum int, digit byte) {
	for i, w := range weights {
		sum += w * valueOf(vin[i])
	}
	if rest := sum % 11; rest < 10 {
		return sum, byte('0' + rest)
	}
	return sum, 'X'
}

// The states of a check digit.
const (
	StateOK            = "ok"
	StateWrong         = "wrong"
	StateNotApplicable = "not applicable"
)

// CheckDigit is what the arithmetic says.
type CheckDigit struct {
	Expected  *string `json:"expected"` // nil where the characters are wrong
	Found     string  `json:"found"`
	State     string  `json:"state"`     // ok, wrong, not applicable
	Mandatory bool    `json:"mandatory"` // whether a digit must stand there at all
	Why       string  `json:"why"`
}

func judge(vin string, mandatory bool, place string) CheckDigit {
	_, digit := checkDigit(vin)
	c := CheckDigit{Expected: new(string(digit)), Found: vin[checkPlace : checkPlace+1], Mandatory: mandatory, State: StateNotApplicable}
	fits := vin[checkPlace] == digit
	switch {
	case mandatory && fits:
		c.State = StateOK
		c.Why = "a check digit is the law for " + place + ", and it fits"
	case mandatory:
		c.State = StateWrong
		c.Why = fmt.Sprintf("a check digit is the law for %s; position 9 is %s and should be %c: a character was misread, or the number is not genuine", place, c.Found, digit)
	case fits:
		c.Why = fmt.Sprintf("no check digit is asked for there; position 9 fits all the same (%c), as it does in a car built for North America, and by chance in one of eleven", digit)
	default:
		c.Why = fmt.Sprintf("no check digit is asked for there; it would be %c, position 9 is %s, and makers may fill it as they like", digit, c.Found)
	}
	return c
}

func explain(vin string) working.Working {
	var w working.Working
	for i, weight := range weights {
		v := valueOf(vin[i])
		w.Add(fmt.Sprintf("position %d, %c", i+1, vin[i]), fmt.Sprintf("value %d x weight %d", v, weight), float64(v*weight), "", "CFR_49_565 565.15 Table IV")
	}
	sum, digit := checkDigit(vin)
	w.Add("sum", "all positions", float64(sum), "", "CFR_49_565 565.15 Table V")
	w.Add("check digit "+string(digit), "sum modulo 11; 10 is written X", float64(sum%11), "", "CFR_49_565 565.15 Table V")
	return w
}

// misread are pairs of characters that are taken for one another on a worn
// plate or in handwriting and count differently.
//
// ref: COMMON_PRACTICE characters mixed up
var misread = []string{"5S", "8B", "2Z", "6G", "0D", "1L", "7T", "1T", "17", "0U", "4A", "VU", "VY", "3B", "38", "56"}

// Reading is another way to read the number, with which the check digit fits.
type Reading struct {
	VIN   string `json:"vin"`
	Place int    `json:"position"` // counted from 1
	From  string `json:"from"`
	To    string `json:"to"`
}

// readings are the numbers with one character taken for its look-alike whose
// check digit fits. Where an I, O or Q stood, those come first.
func readings(vin string) []Reading {
	list := []Reading{}
	for i := range len(vin) {
		for _, pair := range misread {
			to, ok := other(pair, vin[i])
			if !ok {
				continue
			}
			read := vin[:i] + string(to) + vin[i+1:]
			if _, digit := checkDigit(read); digit == read[checkPlace] {
				list = append(list, Reading{read, i + 1, vin[i : i+1], string(to)})
			}
		}
	}
	return list
}

func other(pair string, c byte) (byte, bool) {
	switch c {
	case pair[0]:
		return pair[1], true
	case pair[1]:
		return pair[0], true
	}
	return 0, false
}
