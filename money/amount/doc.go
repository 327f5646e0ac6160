// Package amount holds exact money: a whole number of a currency's minor
// units (pence, cents) with its ISO 4217 code.
//
// It answers how a sum that somebody typed or pasted is to be read, and how it
// is shown in a locale. Amounts are comparable with ==, add without rounding
// and never pass through a float on their way into or out of the ledger; only
// the forecast turns them into floats. Digits, symbols and display come from
// CLDR by way of github.com/bojanz/currency. Sums are bounded to 10^15 minor
// units, so that adding a book's worth of them cannot overflow.
//
// ref: ISO_4217 minor units
package amount
