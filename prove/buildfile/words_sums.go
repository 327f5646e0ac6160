package buildfile

import (
	"regexp"
	"slices"
	"strings"
)

// How a sum of money is written. Signs of money are those of Unicode's own class.
//
// ref: CLDR currency symbols
const (
	space = `[\s\x{a0}\x{202f}\x{2009}]`
	// grouped is a number that may be parted into groups of three.
	grouped = `(?:\d{1,3}(?:[ \x{a0}\x{202f}\x{2009}]\d{3})+|\d+)(?:[.,'’\x{a0}\x{202f}]?\d+)*`
	// loose is the same where the money before it shows that it is one number.
	loose = `\d+(?:[.,'’\s\x{a0}\x{202f}\x{2009}]?\d+)*`
	// thousands is a k, round the dash that stands for no pence.
	thousands, round = `(?:` + space + `?k\b)`, `(?:[.,:](?:-{1,2}|–|—))`

	// codesOfMany are found in small letters too, codesInCapitals not: what is also a
	// word, or the octane number, is in neither.
	codesOfMany     = `GBP|EUR|USD|CAD|AUD|CHF|SEK|NOK|DKK|PLN|JPY|NZD|CZK|HUF|ISK|ZAR`
	codesInCapitals = `(?-i:BGN|RSD|UAH|RUB|INR|CNY|KRW|SGD|HKD|TWD|THB|MYR|IDR|PHP|AED|SAR|ILS|BRL|MXN|ARS|CLP|COP|EGP|KES|NGN)`

	moneyWords  = `kr|quid|euros?|dollars?|bucks|pence|cents?|grand|pounds?|kronor|kroner|kronur|korun[ay]?|koruny|rand|francs?|franken|rupees?|zlotys?|forints?|yen|yuan`
	moneyBefore = `kr\.?|Kč|zł|S?Fr\.` // not "euro": Euro 6 is no price
	// Their last letter is none of ASCII, so no boundary can be asked for.
	moneyAccented = `Kč|zł(?:otych|ote|oty)?`
)

// ownSigns are those that mean money only where the car is paid in it.
var ownSigns = map[string]struct{ before, after string }{
	"ZAR": {before: `(?-i:R)`},
	"HUF": {after: `(?-i:Ft)`},
	"CHF": {after: `(?-i:S?Fr)`},
	"INR": {before: `(?-i:Rs\.?)`},
	"MYR": {before: `(?-i:RM)`},
	"IDR": {before: `(?-i:Rp\.?)`},
	"TRY": {before: `(?-i:TL)`, after: `(?-i:TL)`},
	"RON": {after: `lei|leu`},
	"AED": {before: `(?-i:Dhs?\.?)`, after: `(?-i:Dhs?)`},
	"KES": {before: `(?-i:KSh\.?)`},
	"RSD": {after: `din`},
	"GBP": {after: `(?-i:p)`},
}

// sumsOfAll are what everybody's money looks like.
var sumsOfAll = sumsIn(nil)

// leastOwn is how many digits a sum has at least behind a letter that may also
// name a size: R17 is a rim, R 4500 is money.
const leastOwn = `\d{3,}|\d{1,3}(?:[ ,'\x{a0}\x{202f}]\d{3})+`

// sumsIn are the forms of sums: before all the currencies, those of the codes too.
func sumsIn(currencies []string) []*regexp.Regexp {
	codes, after := codesOfMany, moneyWords
	var own []string
	for _, code := range currencies {
		if len(code) != 3 || strings.Trim(code, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
			continue
		}
		codes += "|" + code
		if s := ownSigns[code]; s.before != "" && !slices.Contains(own, s.before) {
			own = append(own, s.before)
		}
		if s := ownSigns[code]; s.after != "" {
			after += "|" + s.after
		}
	}
	forms := []*regexp.Regexp{
		regexp.MustCompile(`(?i)(?:\p{Sc}|\b(?:` + codes + `|` + codesInCapitals + `|` + moneyBefore + `))` + space + `?` + loose + `(?:` + thousands + `|` + round + `|\b)`),
		regexp.MustCompile(`(?i)\b` + grouped + `(?:` + thousands + `|` + round + `)?` + space + `?(?:\p{Sc}|` + moneyAccented + `|(?:` + codes + `|` + codesInCapitals + `|` + after + `)\b)`),
	}
	if len(own) > 0 {
		forms = append(forms, regexp.MustCompile(`(?i)\b(?:`+strings.Join(own, "|")+`)`+space+`?(?:`+leastOwn+`)(?:[.,]\d+)?(?:`+round+`|\b)`))
	}
	return forms
}

// roundSum is a number with the dash that stands for no pence: money, in a text.
var roundSum = regexp.MustCompile(`\b` + grouped + round + `\B`)

// cutMoney takes out sums that name their money.
func (w *Words) cutMoney(s string) (string, int) {
	forms := sumsOfAll
	if w != nil && w.sums != nil {
		forms = w.sums
	}
	all := 0
	for _, form := range forms {
		var n int
		s, n = replaced(form, s)
		all += n
	}
	return s, all
}

// cutSums takes out those that do not, too.
func (w *Words) cutSums(s string) (string, int) {
	s, named := w.cutMoney(s)
	s, n := replaced(roundSum, s)
	return s, named + n
}
