package gaugelog

import (
	"reflect"
	"strings"
	"testing"
)

// The files here are invented.
func TestNames(t *testing.T) {
	for text, want := range map[string][]string{
		"time_s,pressure_bar\n0,50":                      {"time_s", "pressure_bar"},
		"\ufeffLogger 7\nZeit;\"Druck, bar\";Note\n1;2":  {"Zeit", "Druck, bar", "Note"},
		"a,b\nx,y\nWhen,How much,Remark\n0:00,\"49,5\",": {"When", "How much", "Remark"},
		"When;How much;Remark\n1;49,5;":                  {"When", "How much", "Remark"},
		"1,2\n3,4":                                       nil,
		"":                                               nil,
		"\xff\xfet\x00,\x00p\x00":                        nil,
		"\x89PNG\r\n\x1a\n\x00\x00,time,pressure":        nil,
		"RIFF$\x00\x00\x00WAVEfmt ,time,pressure\n1,2,3": nil,
		"Dear neighbour, the pump ran again,\nall night, I could not sleep": nil,
	} {
		if got := Names(strings.NewReader(text)); !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
