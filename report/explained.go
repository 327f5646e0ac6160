package report

import (
	"fmt"

	"wreckwright/prove/buildfile"
)

// readMe lies in the ZIP for whoever unpacks it without this program.
const readMe = `A build file: the record of a car that was rebuilt, and what proves it.

build-file.pdf        the record on paper
data/                 all of it as JSON
evidence-record.json  what stands as evidence; each entry holds the hash of the
                      one before (SHA-256 over canonical JSON, RFC 8785)
reckoned-joints.json  the preload that each tightening comes to, reckoned
raw/, records/        raw readings and other proofs, named by their SHA-256
photos/               photos, named by the SHA-256 of what is in the file
left-out.json         what this edition does not hold, and why
manifest.json         every file with its size and SHA-256
manifest.sig          the signature over manifest.json (Ed25519, 64 bytes)
public-key.pem        the key that it was signed with
SHA256SUMS            the same hashes for sha256sum

To check it, any of these, in the folder where it was unpacked:

  sha256sum -c SHA256SUMS
  openssl pkeyutl -verify -pubin -inkey public-key.pem -rawin -in manifest.json -sigfile manifest.sig

or, which also works the measurements out again, on the ZIP as it is:

  wreckwright verify FILE.zip

A signature that fits shows that nothing was changed since whoever has the key
signed it. It does not show who that is: compare the fingerprint of the key, which
stands in the PDF, with the one that they tell you themselves. Nor does it show
that what was entered is true.
`

// leftOutSection says what an edition does not hold.
func leftOutSection(list []buildfile.LeftOut) buildfile.Section {
	s := buildfile.Section{Title: "What was left out"}
	if len(list) == 0 {
		s.Blocks = []buildfile.Block{{Text: "Nothing: this file holds everything that the book knows of this car."}}
		return s
	}
	table := buildfile.Table{Head: []string{"What", "How many", "Why"}, Shares: []float64{7, 2, 8}, Right: []bool{false, true, false}}
	for _, l := range list {
		table.Rows = append(table.Rows, []string{l.What, fmt.Sprint(l.Count), l.Why})
	}
	s.Blocks = []buildfile.Block{
		{Table: &table},
		{Text: "The same book and the same options leave out the same. A name that stands in a person’s words and nowhere else as a name cannot be known, and what a photo shows is not looked at. Telephone numbers and e-mail addresses are found by their form; one that is written in an unusual way is missed."},
	}
	return s
}

// checkSection says how the file is checked.
func checkSection(fingerprint, key string) buildfile.Section {
	return buildfile.Section{Title: "How to check this file", Blocks: []buildfile.Block{
		{Text: "This document is one file of a ZIP. Every file of it stands with its SHA-256 in manifest.json, which is signed (Ed25519). The evidence is chained: each entry holds the hash of the one before. With the program, which also works the measurements out again from the raw readings:"},
		{Code: []string{"wreckwright verify FILE.zip"}},
		{Text: "Without it, in the folder where the ZIP was unpacked:"},
		{Code: []string{"sha256sum -c SHA256SUMS", "openssl pkeyutl -verify -pubin -inkey public-key.pem -rawin -in manifest.json -sigfile manifest.sig"}},
		{Text: "A forger can make a file of his own with a key of his own. So compare this fingerprint with the one that whoever made the file tells you:"},
		{Facts: []buildfile.Fact{{Name: "Fingerprint", Value: fingerprint}, {Name: "Public key (Ed25519)", Value: key}}},
	}}
}
