package buildfile

import (
	"encoding/hex"
	"regexp"
	"strings"
)

// hexRun is bytes as a reader prints them: parted, or in one piece.
var hexRun = regexp.MustCompile(`(?i)\b(?:0x)?[0-9a-f]{2}(?:[ \t:,;-]{1,2}(?:0x)?[0-9a-f]{2}){3,}\b|\b(?:0x)?[0-9a-f]{8,}\b`)

const (
	// vinPiece is how many characters of a VIN one answer of a car carries at least,
	// but for the first of several (SAE J1979 service 09, ISO 15765-2).
	vinPiece  = 4
	vinLength = 17
	vinSigns  = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"
)

// cutBytes takes out bytes in which the VIN stands: the car's, or whichever was
// asked for.
func (w *Words) cutBytes(s string) (string, int) {
	found := hexRun.FindAllStringIndex(s, -1)
	asked := false
	for _, at := range found {
		asked = asked || answersVIN(s[at[0]:at[1]])
	}
	var out strings.Builder
	n, from := 0, 0
	for _, at := range found {
		if run := s[at[0]:at[1]]; !w.holdsVIN(run) && (!asked || signsInRow(run) < vinPiece) {
			continue
		}
		out.WriteString(s[from:at[0]])
		out.WriteString(placeholder)
		n, from = n+1, at[1]
	}
	out.WriteString(s[from:])
	return out.String(), n
}

// holdsVIN reports whether a piece of what numbers the single car stands in the
// bytes.
func (w *Words) holdsVIN(run string) bool {
	if w == nil || len(w.vin) != vinLength {
		return false
	}
	for _, text := range bytesOf(run) {
		for at := vinKept; at+vinPiece <= vinLength; at++ {
			if strings.Contains(text, w.vin[at:at+vinPiece]) {
				return true
			}
		}
	}
	return false
}

// answersVIN reports whether the bytes are the answer to the question for the VIN,
// with at least a part of it: service 09 type 02, or the identifier F190.
//
// The layout of both answers is from memory.
func answersVIN(run string) bool {
	for _, text := range bytesOf(run) {
		for _, answer := range []string{"\x49\x02", "\x62\xf1\x90"} {
			if _, after, is := strings.Cut(text, answer); is && longestOfSigns(after) >= vinPiece-1 {
				return true
			}
		}
	}
	return false
}

func signsInRow(run string) int {
	most := 0
	for _, text := range bytesOf(run) {
		most = max(most, longestOfSigns(text))
	}
	return most
}

// longestOfSigns is how many signs of a VIN stand together at most.
func longestOfSigns(text string) int {
	most, row := 0, 0
	for i := range len(text) {
		row++
		if strings.IndexByte(vinSigns, text[i]) < 0 {
			row = 0
		}
		most = max(most, row)
	}
	return most
}

// bytesOf are the bytes that digits stand for: a piece without gaps may begin with
// the three digits of an address, so it is read from its second digit on too.
func bytesOf(run string) []string {
	digits := strings.NewReplacer("0x", "", "0X", "", " ", "", "\t", "", ":", "", ",", "", ";", "", "-", "").Replace(run)
	texts := []string{}
	for _, from := range []int{0, 1} {
		d := digits[from:]
		b, err := hex.DecodeString(d[:len(d)&^1])
		if err == nil {
			texts = append(texts, string(b))
		}
	}
	return texts
}
