package buildfile_test

import (
	"crypto/ed25519"
	"encoding/hex"
	"fmt"
	"testing"

	"wreckwright/outside"
	"wreckwright/prove/buildfile"
)

// canonical is the canonical form, or what is wrong.
func canonical(text string) string {
	out, err := buildfile.Canonical([]byte(text))
	if err != nil {
		return err.Error()
	}
	return string(out)
}

// TestCanonicalAgainstTheStandard: the samples of the standard.
func TestCanonicalAgainstTheStandard(t *testing.T) {
	outside.CheckText(t, []outside.TextCase{
		{
			Source: "RFC_8785", Where: "section 3.2.2, numbers and text", What: "the sample object",
			Got:  canonical(`{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001], "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}`),
			Want: `{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`,
		},
		{
			Source: "RFC_8785", Where: "section 3.2.3, sorting of members", What: "the sample of sorting",
			Got: canonical(`{"\u20ac":"Euro Sign","\r":"Carriage Return","\ufb33":"Hebrew Letter Dalet With Dagesh","1":"One",` +
				`"\ud83d\ude00":"Emoji: Grinning Face","\u0080":"Control","\u00f6":"Latin Small Letter O With Diaeresis"}`),
			Want: `{"\r":"Carriage Return","1":"One","` + "\u0080" + `":"Control","ö":"Latin Small Letter O With Diaeresis","€":"Euro Sign","😀":"Emoji: Grinning Face","` + "\ufb33" + `":"Hebrew Letter Dalet With Dagesh"}`,
		},
		{Source: "RFC_8785", Where: "section 3.2.2, numbers and text", What: "the negative zero", Got: canonical("-0.0"), Want: "0"},
		{Source: "RFC_8785", Where: "section 3.2.2, numbers and text", What: "the turn to exponents", Got: canonical("[1e21,999999999999999900000,0.000001,1e-7]"), Want: "[1e+21,999999999999999900000,0.000001,1e-7]"},
		{
			Source: "FIPS_180_4", Where: "section 6.2, SHA-256", What: "the message abc",
			Got: buildfile.HashOf([]byte("abc")), Want: "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
		},
		{Source: "RFC_8032", Where: "section 5.1.7, verify", What: "test vector 1 of section 7.1", Got: vectorOne(t), Want: "it fits"},
	})
}

// vectorOne checks the signature of the empty message.
func vectorOne(t *testing.T) string {
	key := unhex(t, "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a")
	signature := unhex(t, "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b")
	m := buildfile.Manifest{PublicKey: hex.EncodeToString(key), Fingerprint: buildfile.Fingerprint(ed25519.PublicKey(key))}
	if why := buildfile.CheckSignature(m, nil, signature); why != "" {
		return why
	}
	if why := buildfile.CheckSignature(m, []byte("x"), signature); why == "" {
		return "another message is taken"
	}
	return "it fits"
}

func unhex(t *testing.T, digits string) []byte {
	t.Helper()
	b, err := hex.DecodeString(digits)
	if err != nil {
		t.Fatal(fmt.Errorf("%s: %w", digits, err))
	}
	return b
}
