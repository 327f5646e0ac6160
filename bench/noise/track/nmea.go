package track

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// knotMS is a knot in metres a second.
const knotMS = 1852.0 / 3600

// readNMEA reads the RMC sentences of any satellite system: time, validity,
// speed over ground in knots, date.
//
// ref: NMEA_0183 RMC
func readNMEA(data []byte) (Track, error) {
	var points []raw
	var first time.Time
	broken, void := 0, 0
	for i, sentence := range strings.Split(string(data), "\n") {
		sentence = strings.TrimSpace(sentence)
		if !strings.HasPrefix(sentence, "$") || len(sentence) < 7 || sentence[3:6] != "RMC" {
			continue
		}
		body, ok := checked(sentence)
		if !ok {
			broken++
			continue
		}
		fields := strings.Split(body, ",")
		if len(fields) < 10 {
			return Track{}, wrong(i+1, "a whole RMC sentence", "%d fields", len(fields))
		}
		if fields[2] != "A" || fields[7] == "" {
			void++
			continue
		}
		at, speed, err := readRMC(fields, i+1)
		if err != nil {
			return Track{}, err
		}
		if first.IsZero() {
			first = at
		}
		points = append(points, raw{line: i + 1, atS: at.Sub(first).Seconds(), speedMS: speed})
	}
	var notes []string
	if broken > 0 {
		notes = append(notes, fmt.Sprintf("%d sentences whose checksum is wrong were left out.", broken))
	}
	if void > 0 {
		notes = append(notes, fmt.Sprintf("%d sentences without a fix were left out.", void))
	}
	if len(points) == 0 {
		return Track{}, wrong(0, "valid RMC sentences ($GPRMC, $GNRMC)", "none among the sentences (%d broken, %d without a fix)", broken, void)
	}
	return build("NMEA", points, first, notes)
}

// checked gives a sentence without its dollar and checksum; false where the sum,
// the exclusive or of all between, is wrong.
func checked(sentence string) (string, bool) {
	body, sum, has := strings.Cut(sentence[1:], "*")
	if !has {
		return body, true // the checksum was optional for long
	}
	want, err := strconv.ParseUint(strings.TrimSpace(sum), 16, 8)
	if err != nil {
		return "", false
	}
	got := byte(0)
	for i := range len(body) {
		got ^= body[i]
	}
	return body, got == byte(want)
}

func readRMC(fields []string, line int) (time.Time, float64, error) {
	at, err := time.Parse("020106 150405", fields[9]+" "+fields[1])
	if err != nil {
		return at, 0, wrong(line, "a time hhmmss and a date ddmmyy", "%q and %q", fields[1], fields[9])
	}
	knots, ok := number(fields[7])
	if !ok {
		return at, 0, wrong(line, "a speed in knots", "%q", fields[7])
	}
	return at, knots * knotMS, nil
}
