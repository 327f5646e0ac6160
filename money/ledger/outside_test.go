package ledger

import (
	"strings"
	"testing"

	"wreckwright/outside"
)

func TestTwoDigitYears(t *testing.T) {
	outside.Check(t, []outside.Case{
		{Source: "POSIX_2018", Where: "strptime, conversion %y", What: "year 69", Got: float64(fullYear(69, 2)), Want: 1969, Why: "a whole number"},
		{Source: "POSIX_2018", Where: "strptime, conversion %y", What: "year 99", Got: float64(fullYear(99, 2)), Want: 1999, Why: "a whole number"},
		{Source: "POSIX_2018", Where: "strptime, conversion %y", What: "year 00", Got: float64(fullYear(0, 2)), Want: 2000, Why: "a whole number"},
		{Source: "POSIX_2018", Where: "strptime, conversion %y", What: "year 68", Got: float64(fullYear(68, 2)), Want: 2068, Why: "a whole number"},
	})
}

// TestQuotedCells cuts the standard's own examples of its rules 5, 6 and 7.
func TestQuotedCells(t *testing.T) {
	cut := func(text string) string {
		var rows []string
		split(text, ',', func(r record) bool {
			rows = append(rows, strings.Join(r.cells, "|"))
			return true
		})
		return strings.Join(rows, "/")
	}
	outside.CheckText(t, []outside.TextCase{
		{Source: "RFC_4180", Where: "section 2", What: "quoted and plain cells (rule 5)", Got: cut("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx"), Want: "aaa|bbb|ccc/zzz|yyy|xxx"},
		{Source: "RFC_4180", Where: "section 2", What: "line break in quotes (rule 6)", Got: strings.ReplaceAll(cut("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx"), "\r\n", "\n"), Want: "aaa|b\nbb|ccc/zzz|yyy|xxx"},
		{Source: "RFC_4180", Where: "section 2", What: "doubled quote (rule 7)", Got: cut(`"aaa","b""bb","ccc"`), Want: `aaa|b"bb|ccc`},
	})
}

// TestWindows1252 reads single bytes as the encoding's index has them.
func TestWindows1252(t *testing.T) {
	read := func(b byte) string {
		text, _ := Text([]byte{'x', b, 'x'})
		return strings.Trim(text, "x")
	}
	outside.CheckText(t, []outside.TextCase{
		{Source: "WHATWG_ENCODING", Where: "index windows-1252", What: "byte 80", Got: read(0x80), Want: "\u20ac"},
		{Source: "WHATWG_ENCODING", Where: "index windows-1252", What: "byte 91", Got: read(0x91), Want: "\u2018"},
		{Source: "WHATWG_ENCODING", Where: "index windows-1252", What: "byte 96", Got: read(0x96), Want: "\u2013"},
		{Source: "WHATWG_ENCODING", Where: "index windows-1252", What: "byte 99", Got: read(0x99), Want: "\u2122"},
		{Source: "WHATWG_ENCODING", Where: "index windows-1252", What: "byte 9f", Got: read(0x9f), Want: "\u0178"},
		{Source: "WHATWG_ENCODING", Where: "index windows-1252", What: "byte a3", Got: read(0xa3), Want: "\u00a3"},
		{Source: "WHATWG_ENCODING", Where: "index windows-1252", What: "byte ff", Got: read(0xff), Want: "\u00ff"},
	})
}

// TestSigns looks for each currency under the sign that its home writes.
func TestSigns(t *testing.T) {
	signOf := func(code string) string {
		for sign, codes := range signCurrencies {
			if codes[0] == code {
				return string(sign)
			}
		}
		return "none"
	}
	outside.CheckText(t, []outside.TextCase{
		{Source: "CLDR", Where: "currency symbols", What: "sign of GBP", Got: signOf("GBP"), Want: "\u00a3"},
		{Source: "CLDR", Where: "currency symbols", What: "sign of EUR", Got: signOf("EUR"), Want: "\u20ac"},
		{Source: "CLDR", Where: "currency symbols", What: "sign of USD", Got: signOf("USD"), Want: "$"},
		{Source: "CLDR", Where: "currency symbols", What: "sign of JPY", Got: signOf("JPY"), Want: "\u00a5"},
		{Source: "CLDR", Where: "currency symbols", What: "sign of INR", Got: signOf("INR"), Want: "\u20b9"},
		{Source: "CLDR", Where: "currency symbols", What: "sign of RUB", Got: signOf("RUB"), Want: "\u20bd"},
		{Source: "CLDR", Where: "currency symbols", What: "sign of TRY", Got: signOf("TRY"), Want: "\u20ba"},
		{Source: "CLDR", Where: "currency symbols", What: "sign of UAH", Got: signOf("UAH"), Want: "\u20b4"},
		{Source: "CLDR", Where: "currency symbols", What: "sign of KRW", Got: signOf("KRW"), Want: "\u20a9"},
	})
}
