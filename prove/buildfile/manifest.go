package buildfile

import (
	"bytes"
	"cmp"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Format and Version name the form of a build file.
const (
	Format  = "wreckwright build file"
	Version = 1
)

// The names of what every build file holds.
const (
	PDFName       = "build-file.pdf"
	ManifestName  = "manifest.json"
	SignatureName = "manifest.sig"
	KeyName       = "public-key.pem"
	SumsName      = "SHA256SUMS"
	ReadMeName    = "README.txt"
	ChainName     = "evidence-record.json"
	LeftOutName   = "left-out.json"
	RebuildName   = "data/rebuild.json"
	JournalName   = "data/journal.json"
	MarksName     = "data/marks.json"
	JointsName    = "reckoned-joints.json" // not in the first files of version 1
)

// Manifest lists what a build file holds. It is signed: the signature shows that
// whoever has the book's key made this very file. It does not show that what the
// file says is true, nor who that is: compare the fingerprint with one that was
// given in person.
type Manifest struct {
	Format      string  `json:"format"`
	Version     int     `json:"version"`
	Program     string  `json:"program"` // name and version that made it
	Edition     Edition `json:"edition"`
	Money       bool    `json:"money"` // sums are in it
	Car         string  `json:"car"`
	Rebuild     int64   `json:"rebuild"`         // its number in the book
	RebuildAt   int64   `json:"rebuild_version"` // its version
	MadeAt      string  `json:"made_at"`         // RFC 3339
	PublicKey   string  `json:"public_key"`      // Ed25519, 64 hexadecimal digits
	Fingerprint string  `json:"fingerprint"`
	RecordHead  string  `json:"record_head"` // hash of the last entry of the record of evidence
	Files       []File  `json:"files"`
}

// File is one file of the build file.
type File struct {
	Name      string `json:"name"` // in the ZIP, with slashes
	Size      int64  `json:"size"` // bytes
	SHA256    string `json:"sha256"`
	MediaType string `json:"media_type"`
	// Of is the SHA-256 by which the data name it: that of the file in the book.
	// Empty: it is none of the book's.
	Of string `json:"of,omitempty"`
	// Changed says what was done to it; empty: it is byte for byte the book's.
	Changed string `json:"changed,omitempty"`
}

// Edition is what a build file is for.
type Edition string

// The editions.
const (
	Full     Edition = "full"
	Redacted Edition = "redacted"
)

// Editions lists them.
var Editions = []Edition{Full, Redacted}

// Encode writes the manifest, the same for the same.
func (m Manifest) Encode() ([]byte, error) {
	m.Files = slices.Clone(m.Files)
	slices.SortFunc(m.Files, func(a, b File) int { return cmp.Compare(a.Name, b.Name) })
	return EncodeJSON(m)
}

// EncodeJSON writes a value as indented JSON without escaped letters.
func EncodeJSON(value any) ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(value)
	return out.Bytes(), err
}

// DecodeManifest reads a manifest strictly.
func DecodeManifest(text []byte) (Manifest, error) {
	var m Manifest
	// The version first: a newer form may well have members unknown here.
	var form struct {
		Format  string `json:"format"`
		Version int    `json:"version"`
	}
	if err := json.Unmarshal(text, &form); err != nil {
		return m, fmt.Errorf("%s cannot be read: %w", ManifestName, err)
	}
	if form.Format != Format {
		return m, fmt.Errorf("%s is of the format %q; expected %q", ManifestName, form.Format, Format)
	}
	if form.Version > Version {
		return m, fmt.Errorf("%s has version %d of the format; this program knows versions up to %d", ManifestName, form.Version, Version)
	}
	if err := CheckMembers(text); err != nil {
		return m, fmt.Errorf("%s cannot be read: %w", ManifestName, err)
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&m); err != nil {
		return m, fmt.Errorf("%s cannot be read: %w", ManifestName, err)
	}
	return m, m.check()
}

// Most bounds what a build file may hold: far above any, there so that a small
// file cannot claim to be an endless one.
const (
	MostFiles = 20_000
	MostBytes = int64(4) << 30
	MostJSON  = int64(256) << 20
)

func (m Manifest) check() error {
	for _, text := range []string{m.Program, string(m.Edition), m.Car, m.MadeAt, m.Fingerprint} {
		if OneLine(text) != text {
			return fmt.Errorf("%s says %q, which holds signs that move what is printed", ManifestName, text)
		}
	}
	if len(m.Files) > MostFiles {
		return fmt.Errorf("%s lists %d files; at most %d fit", ManifestName, len(m.Files), MostFiles)
	}
	seen := map[string]bool{}
	var all int64
	for _, f := range m.Files {
		if why := BadName(f.Name); why != "" {
			return fmt.Errorf("%s lists a file %q whose name %s", ManifestName, f.Name, why)
		}
		if seen[f.Name] {
			return fmt.Errorf("%s lists %s twice", ManifestName, f.Name)
		}
		seen[f.Name] = true
		if f.Size < 0 || f.Size > MostBytes-all {
			return fmt.Errorf("%s lists more than %d MB", ManifestName, MostBytes>>20)
		}
		all += f.Size
		if !isHash(f.SHA256) || f.Of != "" && !isHash(f.Of) {
			return fmt.Errorf("%s: the hash of %s is none", ManifestName, f.Name)
		}
		if OneLine(f.MediaType) != f.MediaType || OneLine(f.Changed) != f.Changed {
			return fmt.Errorf("%s: what it says of %s holds signs that move what is printed", ManifestName, f.Name)
		}
	}
	if key, err := hex.DecodeString(m.PublicKey); err != nil || len(key) != ed25519.PublicKeySize {
		return fmt.Errorf("%s: the public key is none", ManifestName)
	}
	return nil
}

// BadName says why a file must not be called so; empty: it may. Nothing is ever
// written under such a name here, but others unpack the ZIP.
func BadName(name string) string {
	switch {
	case name == "":
		return "is empty"
	case strings.HasPrefix(name, "/") || strings.ContainsAny(name, "\\:\x00"):
		return "leads out of the folder"
	case len(name) > 255:
		return "is longer than 255 bytes"
	case OneLine(name) != name:
		return "holds signs that move what is printed"
	}
	for part := range strings.SplitSeq(name, "/") {
		if part == "" || part == "." || part == ".." {
			return "leads out of the folder"
		}
	}
	return ""
}

// OneLine is a text with every sign that could end the line, move what is printed or
// turn its direction shown instead of obeyed: what comes from outside must not write
// lines of its own on somebody's screen.
func OneLine(text string) string {
	if utf8.ValidString(text) && !strings.ContainsFunc(text, movesPrint) {
		return text
	}
	var out strings.Builder
	for _, r := range strings.ToValidUTF8(text, "\u00bf") {
		if movesPrint(r) {
			out.WriteString(strings.Trim(strconv.QuoteRuneToASCII(r), "'"))
			continue
		}
		out.WriteRune(r)
	}
	return out.String()
}

// movesPrint: control characters, line and paragraph separators, and the marks that
// turn the direction of writing (Unicode, Bidi_Control).
func movesPrint(r rune) bool {
	return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || unicode.Is(unicode.Bidi_Control, r)
}

func isHash(s string) bool {
	return len(s) == 64 && strings.Trim(s, hexDigits) == ""
}

// Sums writes the list that `sha256sum -c` reads.
func Sums(files []File) []byte {
	sorted := slices.Clone(files)
	slices.SortFunc(sorted, func(a, b File) int { return cmp.Compare(a.Name, b.Name) })
	var out bytes.Buffer
	for _, f := range sorted {
		fmt.Fprintf(&out, "%s  %s\n", f.SHA256, f.Name)
	}
	return out.Bytes()
}

// Fingerprint is the public key in a form that two people can read to one
// another: the first 20 bytes of its SHA-256, in groups of four digits.
func Fingerprint(key ed25519.PublicKey) string {
	sum := sha256.Sum256(key)
	digits := strings.ToUpper(hex.EncodeToString(sum[:20]))
	var groups []string
	for i := 0; i < len(digits); i += 4 {
		groups = append(groups, digits[i:i+4])
	}
	return strings.Join(groups, " ")
}

// SameFingerprint reports whether two fingerprints are the same but for spaces
// and capitals.
func SameFingerprint(a, b string) bool {
	plain := func(s string) string {
		return strings.ToUpper(strings.NewReplacer(" ", "", "-", "", ":", "").Replace(s))
	}
	return plain(a) == plain(b)
}

// CheckSignature says what is wrong with the signature of a manifest's text;
// empty: nothing.
//
// ref: RFC_8032 section 5.1.7, verify
func CheckSignature(m Manifest, text, signature []byte) string {
	key, err := hex.DecodeString(m.PublicKey)
	if err != nil || len(key) != ed25519.PublicKeySize {
		return "the public key in " + ManifestName + " is none"
	}
	if len(signature) != ed25519.SignatureSize || !ed25519.Verify(key, text, signature) {
		return fmt.Sprintf("%s does not sign %s", SignatureName, ManifestName)
	}
	if m.Fingerprint != Fingerprint(key) {
		return "the fingerprint in " + ManifestName + " is not that of its key"
	}
	return ""
}
