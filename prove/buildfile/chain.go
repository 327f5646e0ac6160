package buildfile

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
)

// Entry is one piece of evidence in the record. Hash is the SHA-256 of the
// canonical JSON of all the other members, Previous among them: to change, take
// out or put in an entry changes the hash of every one after it.
type Entry struct {
	Number   int             `json:"number"` // from 1
	Kind     string          `json:"kind"`   // "measurement", "tightening", "proof of a job"
	Item     int64           `json:"item"`   // number of the item in the rebuild
	On       string          `json:"on"`     // day or moment, ISO 8601
	What     string          `json:"what"`
	Content  json.RawMessage `json:"content"`  // the evidence itself, as in rebuild.json
	Files    []string        `json:"files"`    // SHA-256 of its raw readings and photos, as the book has them
	Previous string          `json:"previous"` // hash of the entry before; of the first: 64 zeros
	Hash     string          `json:"hash"`
}

// firstPrevious stands where there is no entry before.
const firstPrevious = "0000000000000000000000000000000000000000000000000000000000000000"

// Link numbers the entries, gives each the hash of the one before and its own.
func Link(entries []Entry) ([]Entry, error) {
	linked := make([]Entry, len(entries))
	previous := firstPrevious
	for i, e := range entries {
		e.Number, e.Previous = i+1, previous
		if e.Files == nil {
			e.Files = []string{}
		}
		hash, err := e.reckonHash()
		if err != nil {
			return nil, fmt.Errorf("entry %d of the record of evidence: %w", i+1, err)
		}
		e.Hash, previous = hash, hash
		linked[i] = e
	}
	return linked, nil
}

// Head is the hash of the last entry: it stands for the whole record. Of an empty
// one it is 64 zeros.
func Head(entries []Entry) string {
	if len(entries) == 0 {
		return firstPrevious
	}
	return entries[len(entries)-1].Hash
}

// reckonHash works out what the hash of the entry must be.
func (e Entry) reckonHash() (string, error) {
	text, err := json.Marshal(e)
	if err != nil {
		return "", err
	}
	tree, err := parseJSON(text)
	if err != nil {
		return "", err
	}
	object, ok := tree.(map[string]any)
	if !ok {
		return "", errNotOneValue
	}
	delete(object, "hash")
	canonical, err := CanonicalOf(object)
	if err != nil {
		return "", err
	}
	return HashOf(canonical), nil
}

// CheckChain says, a sentence each, what is wrong with a record of evidence that
// was read.
func CheckChain(entries []Entry) []string {
	var wrong []string
	previous := firstPrevious
	for i, e := range entries {
		name := fmt.Sprintf("entry %d of the record of evidence (%s)", i+1, e.What)
		if e.Number != i+1 {
			wrong = append(wrong, fmt.Sprintf("%s has the number %d", name, e.Number))
		}
		if e.Previous != previous {
			wrong = append(wrong, name+" does not hold the hash of the entry before")
		}
		if hash, err := e.reckonHash(); err != nil || hash != e.Hash {
			wrong = append(wrong, name+" does not fit its hash")
		}
		previous = e.Hash
	}
	return wrong
}

// CompareChains says where a record that was read differs from the one that the
// data give.
func CompareChains(kept, reckoned []Entry) []string {
	var differs []string
	for i := range max(len(kept), len(reckoned)) {
		switch {
		case i >= len(kept):
			differs = append(differs, fmt.Sprintf("the record of evidence lacks %s", reckoned[i].What))
		case i >= len(reckoned):
			differs = append(differs, fmt.Sprintf("the record of evidence has %s, which is not in the data", kept[i].What))
		case kept[i].Hash != reckoned[i].Hash:
			return append(differs, fmt.Sprintf("entry %d of the record of evidence (%s) and all after it differ from the data", i+1, kept[i].What))
		}
	}
	return differs
}

// HashOf is the SHA-256 of the bytes in hexadecimal.
//
// ref: FIPS_180_4 section 6.2, SHA-256
func HashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}
