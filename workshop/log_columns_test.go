package workshop_test

import (
	"reflect"
	"strings"
	"testing"

	"wreckwright/workshop"
)

func TestLogColumns(t *testing.T) {
	for text, want := range map[string][]string{
		"time_s,pressure_bar\n0,50":                     {"time_s", "pressure_bar"},
		"\ufeffLogger 7\nZeit;\"Druck, bar\";Note\n1;2": {"Zeit", "Druck, bar", "Note"},
		"1,2\n3,4": nil,
		"":         nil,
		"\xff\xfe": nil,
	} {
		if got := workshop.LogColumns(strings.NewReader(text)); !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
