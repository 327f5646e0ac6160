package main

import (
	"errors"
	"io"
	"testing"
	"time"

	"wreckwright/bench/check"
	"wreckwright/casefile"
)

// FuzzCheckCase: whatever stands in a case file, there is a verdict or one
// mistake with its line.
func FuzzCheckCase(f *testing.F) {
	for _, seed := range []string{
		"name: a\nreadings: [1, 2]\ninstrument_limit: 0.1\nlower: 0\nupper: 3\n",
		"name: a\nform: imbalance\nparts: {left: 2, right: [1]}\ninstrument_sd: 0.1\nupper: 30\n",
		"quantity: service-brake\njurisdiction: UK\nfirst_used: 2012-05-01\neffort_unit: N\ninstrument_limit: 50\nparts: {a: 1, mass_kg: {readings: [2], instrument_limit: 1}}\n",
		"quantity: cranking-voltage\nvariant: by temperature\ntemperature_c: 5\nreadings: [9]\ninstrument_limit: 0\n",
		"quantity: tyre-age\nvariant: renew\nweek_code: 2319\n", "quantity: tyre-age\nvariant: renew\nweek_code: \"2319\"\non: 2026-01-01\n",
		"quantity: clutch-wear\npoints: [{at: 0, value: 5}, {at: 9, value: 4}]\nlimit: 3\ninstrument_sd: 0.1\nwant: 5\n",
		"name: a\nreadings: [1]\ninstrument_sd: 1\nlower: 0\nusual: {mean: 1, sd: 0.5}\n",
		"name: a\nreadings: [1e12, -1e12, 3]\ninstrument_limit: 1e12\nlower: -1e12\nupper: 1e12\nrisk: 1e-9\nusual: {mean: 0, sd: 1e-300}\n",
		"name: a\nform: rate\nparts: {start: 1e12, end: 1, minutes: {readings: [1e-300], instrument_sd: 1}}\ninstrument_sd: 1\nupper: 1\n",
		"name: a\npoints: [{at: 0, value: 5}, {at: 1e-300, value: 4}]\nlimit: 3\ninstrument_sd: 0.1\n", "name: a\npoints: [{at: 0, value: 1e12}, {at: 1e12, value: -1e12}, {at: 3, value: 0}]\nlimit: 3\nwant: 1e12\n",
		"name: a\nform: lambda\nparts: {co_percent: 1}\n",
	} {
		f.Add([]byte(seed))
	}
	today := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, data []byte) {
		err := tryCheckCase(data, today)
		var wrong *casefile.Error
		if err != nil && (!errors.As(err, &wrong) || wrong.Problem == "" || wrong.Expected == "") {
			t.Fatalf("%q: %v", data, err)
		}
	})
}

func tryCheckCase(data []byte, today time.Time) error {
	file, err := casefile.Parse("case.yaml", data)
	if err != nil {
		return err
	}
	c, err := readCheckCase("case.yaml", file, today)
	if err != nil {
		return err
	}
	if c.wear != nil {
		result, err := check.Wear(*c.wear)
		if err != nil {
			return c.placed(err)
		}
		return writeJSON(io.Discard, result)
	}
	result, err := check.Examine(c.check)
	if err != nil {
		return c.placed(err)
	}
	return writeJSON(io.Discard, result) // no figure that JSON has no word for
}
