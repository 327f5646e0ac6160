package recording

import "fmt"

// Error is what is wrong with a sound file.
type Error struct {
	Problem  string
	Expected string
	Cause    error // of the decoder, may be nil
}

func (e *Error) Error() string {
	if e.Cause != nil {
		return fmt.Sprintf("%s (%v); expected %s", e.Problem, e.Cause, e.Expected)
	}
	return e.Problem + "; expected " + e.Expected
}

func (e *Error) Unwrap() error { return e.Cause }

const readable = "a recording as WAV, FLAC, MP3 or Ogg Vorbis"

func cut(problem string) *Error {
	return &Error{Problem: "is cut: " + problem, Expected: "a whole recording: copy it anew from the phone"}
}

func broken(kind string, cause error) *Error {
	return &Error{Problem: "is broken " + kind, Expected: "a whole recording: copy it anew from the phone", Cause: cause}
}
