package workshop

import (
	"context"
	"errors"
	"fmt"
	"io"

	"wreckwright/bench/listen"
	"wreckwright/bench/recharge"
	"wreckwright/bench/recording"
	"wreckwright/rebuild"
)

// Heard is what was heard in a recording made beside the car.
type Heard struct {
	listen.Result
	Said *Recharged // what the runs say of the unit; nil: no start was heard
}

// HearPump listens to a recording (WAV, FLAC, MP3, Ogg Vorbis) and asks the
// recharge engine what the runs say: with their stops where these were heard
// too, else by the starts alone. It ends early, with the context's error, when
// nobody waits any more. A recording that cannot be listened to is
// [*rebuild.Invalid].
func HearPump(ctx context.Context, from io.Reader, s UnitSettings) (Heard, error) {
	sound, err := recording.Open(from)
	if err != nil {
		return Heard{}, plainSound(err)
	}
	result, err := listen.Hear(ctx, sound, listen.Options{})
	if ctx.Err() != nil {
		return Heard{}, ctx.Err()
	}
	if err != nil {
		return Heard{}, plainSound(err)
	}
	out := Heard{Result: result}
	out.Said, err = saidByEar(ctx, result, s)
	return out, err
}

// saidByEar is what runs that were heard say; nil where no start was heard.
func saidByEar(ctx context.Context, heard listen.Result, s UnitSettings) (*Recharged, error) {
	var marks []recharge.Mark
	starts := 0
	for _, r := range heard.Runs {
		if r.OnHeard {
			marks = append(marks, recharge.Mark{AtS: r.OnS, Kind: recharge.PumpOn})
			starts++
		}
		if r.OffHeard {
			marks = append(marks, recharge.Mark{AtS: r.OffS, Kind: recharge.PumpOff})
		}
	}
	if starts == 0 {
		return nil, nil
	}
	said, err := saidByTimes(ctx, marks, recharge.EarS, s)
	return &said, err
}

// plainSound turns a recording that cannot be listened to into a problem of the
// form.
func plainSound(err error) error {
	var wrong *recording.Error
	var input *listen.InputError
	text := ""
	switch {
	case errors.As(err, &wrong):
		text = fmt.Sprintf("the recording %s; expected %s", wrong.Problem, wrong.Expected)
	case errors.As(err, &input):
		text = input.Error()
	default:
		return err
	}
	return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "file", Text: text}}}
}
