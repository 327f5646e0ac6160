package workshop

import (
	"context"
	"crypto/ed25519"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// keySetting is under which the book keeps the seed of its signing key.
const keySetting = "build file key"

// NoKey is the error of a book that is open for reading only and has no key yet.
type NoKey struct{}

func (*NoKey) Error() string { return "the book has no key yet to sign build files with" }

// Hint says what to do.
func (*NoKey) Hint() string {
	return "the first build file of a book makes its key, which has to be written: close the program that has the book open, or make the first one on its page “Build file”"
}

// SigningKey is the Ed25519 key that signs the book's build files, made at first
// use. It stays in the book: whoever has a copy of the book can sign with it, so
// the book's file is closed to other users of the machine then.
func (w *Workshop) SigningKey(ctx context.Context, mayMake bool) (ed25519.PrivateKey, error) {
	kept, err := w.book.Setting(ctx, keySetting)
	if err != nil {
		return nil, err
	}
	if kept == "" {
		if !mayMake {
			return nil, &NoKey{}
		}
		return w.makeKey(ctx)
	}
	seed, err := hex.DecodeString(kept)
	if err != nil || len(seed) != ed25519.SeedSize {
		return nil, errors.New("the key that the book keeps for signing build files is damaged; restore it from a backup")
	}
	return ed25519.NewKeyFromSeed(seed), nil
}

func (w *Workshop) makeKey(ctx context.Context) (ed25519.PrivateKey, error) {
	seed := make([]byte, ed25519.SeedSize)
	if _, err := rand.Read(seed); err != nil {
		return nil, fmt.Errorf("making a key: %w", err)
	}
	for _, name := range []string{"book.db", "book.db-wal", "book.db-shm"} {
		if err := os.Chmod(filepath.Join(w.book.Dir(), name), 0o600); err != nil && !errors.Is(err, os.ErrNotExist) {
			return nil, fmt.Errorf("closing the book's file to other users before a key goes into it: %w", err)
		}
	}
	if err := w.book.SetSetting(ctx, keySetting, hex.EncodeToString(seed)); err != nil {
		return nil, err
	}
	return ed25519.NewKeyFromSeed(seed), nil
}
