package workshop

import (
	"crypto/sha256"
	"encoding/json"
	"sync"
)

// mostContents bounds what is kept by what it was worked out from: more than the
// cases that stand open in a book.
const mostContents = 64

// contents keeps answers by what they were worked out from, so that a change
// elsewhere in the rebuild does not work out a case anew. The zero value is ready.
type contents[T any] struct {
	mutex   sync.Mutex
	keys    [][sha256.Size]byte // oldest first
	answers map[[sha256.Size]byte]T
}

// get gives the answer for those contents, working it out where it is not known.
// Mistakes are not kept.
func (c *contents[T]) get(of any, work func() (T, error)) (T, error) {
	written, err := json.Marshal(of)
	if err != nil {
		return work() // not a number somewhere: the engine says where
	}
	key := sha256.Sum256(written)
	c.mutex.Lock()
	answer, ok := c.answers[key]
	c.mutex.Unlock()
	if ok {
		return answer, nil
	}
	if answer, err = work(); err == nil {
		c.keep(key, answer)
	}
	return answer, err
}

func (c *contents[T]) keep(key [sha256.Size]byte, answer T) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if c.answers == nil {
		c.answers = map[[sha256.Size]byte]T{}
	}
	if _, ok := c.answers[key]; !ok {
		c.keys = append(c.keys, key)
	}
	c.answers[key] = answer
	for len(c.keys) > mostContents {
		delete(c.answers, c.keys[0])
		c.keys = c.keys[1:]
	}
}
