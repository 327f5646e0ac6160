package demo

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"wreckwright/store"
)

// silent is the log of the workshop while it forecasts days gone by.
var silent = slog.New(slog.DiscardHandler)

// stories are the folders in content/, in the order they are played.
var stories = []string{"skua", "dipper", "garganey", "turnstone", "whinchat", "whimbrel"}

// Build makes the demo book of that day in the folder, which must hold no book
// yet or one without any rebuild. A build that was cut short leaves a mark by
// which [Prepare] knows it.
func Build(ctx context.Context, dir string, today time.Time) (err error) {
	told, err := readStories()
	if err != nil {
		return err
	}
	clock := &clock{calendar: newCalendar(today)}
	clock.turn(0)
	book, err := store.Open(ctx, dir, store.Options{Now: clock.now})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	there, err := book.List(ctx)
	if err != nil {
		return err
	}
	if len(there) > 0 {
		return fmt.Errorf("the book %s holds rebuilds already; the demo book is built in a folder of its own", dir)
	}
	if err := book.SetSetting(ctx, markerKey, markerUnfinished); err != nil {
		return err
	}
	for _, s := range told {
		if err := (&player{book: book, clock: clock, story: s}).play(ctx); err != nil {
			return fmt.Errorf("building the demo book: %w", err)
		}
	}
	mark, err := finishedMarker(ctx, book, today)
	if err != nil {
		return err
	}
	return book.SetSetting(ctx, markerKey, mark)
}

func readStories() ([]story, error) {
	told := make([]story, len(stories))
	for i, folder := range stories {
		var err error
		if told[i], err = readStory(folder); err != nil {
			return nil, err
		}
	}
	return told, nil
}
