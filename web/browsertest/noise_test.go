package browsertest

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"testing"

	"wreckwright/rebuild"
)

// wheelFile is an invented recording: hiss and the hum of a wheel at 15 turns a
// second.
func wheelFile(t *testing.T) string {
	const rate, seconds = 11025, 8
	r := rand.New(rand.NewPCG(2, 3))
	var b bytes.Buffer
	put := func(v any) { _ = binary.Write(&b, binary.LittleEndian, v) } // a buffer takes all
	b.WriteString("RIFF")
	put(uint32(36 + 2*rate*seconds))
	b.WriteString("WAVEfmt ")
	put(uint32(16))
	put([]uint16{1, 1})
	put([]uint32{rate, 2 * rate})
	put([]uint16{2, 16})
	b.WriteString("data")
	put(uint32(2 * rate * seconds))
	for i := range rate * seconds {
		turn := 2 * math.Pi * 15 * float64(i) / rate
		put(int16(9000 * (0.2*r.NormFloat64() + 0.1*math.Cos(turn) + 0.06*math.Cos(2*turn))))
	}
	name := filepath.Join(t.TempDir(), "wheel.wav")
	if err := os.WriteFile(name, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// A recording by phone: refused without a speed, heard, kept; then one piece of a
// road test, tagged by a tap. With scripts and without.
func TestNoiseStory(t *testing.T) {
	t.Run("with scripts", func(t *testing.T) { t.Parallel(); noiseStory(t, true) })
	t.Run("without scripts", func(t *testing.T) { t.Parallel(); noiseStory(t, false) })
}

func noiseStory(t *testing.T, scripts bool) {
	s := serve(t)
	car := fill(t, s)
	sound := wheelFile(t)
	b := newTab(t, s)
	b.width(phone)
	if !scripts {
		b.noScripts()
	}
	b.open(car.path("/bench"), http.StatusOK)
	b.press(`a[href$="/bench/noise"]`)
	b.holds("main", "a loose hub is not driven", "Guided road test")
	b.hand("#file", sound)
	b.pick("speed", "rpm")
	b.write("#rpm", "900")
	b.press(`.noise-form .actions button`)
	if scripts {
		b.await("the result", `document.querySelector("#result") !== null`)
	} else {
		for range 20 {
			if b.text("h2") != "Listening: wheel.wav" {
				break
			}
			b.open(b.where(), http.StatusOK)
		}
	}
	b.holds("#result", "How strongly each part is heard", "Lines of the bearing")
	b.press(`form[action$="/save"] .actions button`)
	b.holds("main", "What was recorded", "wheel.wav")
	r := car.now()
	last := len(r.Evidence) - 1
	if last < 0 || r.Evidence[last].Instrument != rebuild.InstrumentNoise {
		t.Fatalf("kept %+v", r.Evidence)
	}
	b.open(car.path("/bench/noise"), http.StatusOK)
	b.press(`form[action$="/road"] button`)
	b.hand("#file", sound)
	b.write("#part_kmh", "80")
	b.press(`button[value="neutral"]`)
	if scripts {
		b.await("the piece", `document.querySelector("#pieces") !== null`)
	}
	b.holds("main", "1 piece", "Rolling in neutral")
	if !scripts {
		return
	}
	source := needAxe(t)
	sheet := car.now().Sheets[0].ID
	for _, v := range []visit{
		{name: "a noise, kept", path: car.path(fmt.Sprintf("/bench/evidence/%d", r.Evidence[last].ID)), status: http.StatusOK},
		{name: "noise", path: car.path("/bench/noise"), status: http.StatusOK},
		{name: "road test", path: car.path(fmt.Sprintf("/bench/noise/road/%d", sheet)), status: http.StatusOK},
		{name: "a noise, heard", path: car.path(fmt.Sprintf("/bench/evidence/%d", r.Evidence[last].ID)), status: http.StatusOK, before: func(b *tab) {
			b.press(`a[href*="/bench/noise?"]`)
			b.holds("#result", "The sound over time")
		}},
	} {
		look(b, source, v)
	}
}
