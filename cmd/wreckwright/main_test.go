package main

import (
	"errors"
	"flag"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// update rewrites the expected outputs in the stories: go test . -update.
var update = flag.Bool("update", false, "rewrite the expected outputs in testdata")

// TestMain lets the stories start this very program.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"wreckwright": main})
}

// TestStories runs the stories in testdata: what somebody types and what comes
// back.
func TestStories(t *testing.T) {
	readings, err := filepath.Abs("../../bench/recharge/testdata")
	if err != nil {
		t.Fatal(err)
	}
	sounds, errSounds := filepath.Abs("../../bench/listen/testdata")
	tones, errTones := filepath.Abs("../../bench/recording/testdata")
	wheels, errWheels := filepath.Abs("../../bench/noise/testdata")
	export, errExport := filepath.Abs("../../store/testdata/export-form-5")
	if err := errors.Join(errSounds, errTones, errWheels, errExport); err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata", UpdateScripts: *update, RequireUniqueNames: true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("READINGS", readings)
			env.Setenv("SOUNDS", sounds)
			env.Setenv("TONES", tones)
			env.Setenv("WHEELS", wheels)
			env.Setenv("EXPORT", export)
			return nil
		},
	})
}
