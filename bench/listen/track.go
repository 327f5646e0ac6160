package listen

// track is a recording at the working rate, kept in pieces so that it grows
// without being copied.
type track struct {
	rate      float64
	fromS     float64 // where the stretch begins in the recording
	durationS float64
	read      int // samples of the recording itself
	clipped   int // of them at full scale
	loudest   float32
	pieces    [][]float32
	n         int
}

const pieceLength = 1 << 17

func (t *track) append(v float32) {
	i := t.n / pieceLength
	if i == len(t.pieces) {
		t.pieces = append(t.pieces, make([]float32, pieceLength))
	}
	t.pieces[i][t.n%pieceLength] = v
	t.n++
}

// copyTo fills out with the samples from a place on; zeros outside the track.
func (t *track) copyTo(out []float64, from int) {
	for i := range out {
		at := from + i
		if at < 0 || at >= t.n {
			out[i] = 0
			continue
		}
		out[i] = float64(t.pieces[at/pieceLength][at%pieceLength])
	}
}
