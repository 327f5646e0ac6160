package uncertain

// Stream is the random numbers of one input of one item: number t belongs to
// trial t, whatever else is drawn, in whatever order, on whatever core. It is
// the SplitMix64 generator with its state set by the identity.
//
// ref: STEELE_2014 SplitMix64
type Stream struct{ state uint64 }

const golden = 0x9e3779b97f4a7c15

// NewStream is the stream of an input ("cost") of an item (a job's key) under
// a seed.
func NewStream(seed uint64, item, input string) Stream {
	h := scramble(seed + golden)
	h = scramble(h ^ hashText(item))
	return Stream{scramble(h + golden ^ hashText(input))}
}

// Bits is the 64 random bits of a trial.
func (s Stream) Bits(trial int) uint64 {
	return scramble(s.state + (uint64(trial)+1)*golden)
}

// scramble is the output function of SplitMix64.
func scramble(x uint64) uint64 {
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// hashText is FNV-1a over the bytes.
//
// ref: FNV_1A 64 bit
func hashText(s string) uint64 {
	h := uint64(14695981039346656037)
	for i := range len(s) {
		h = (h ^ uint64(s[i])) * 1099511628211
	}
	return h
}

// Uniform is a number strictly between 0 and 1.
func (s Stream) Uniform(trial int) float64 {
	return (float64(s.Bits(trial)>>12) + 0.5) * (1.0 / (1 << 52))
}

// Uniforms fills dst with the numbers of the trials from first on.
func (s Stream) Uniforms(dst []float64, first int) {
	for i := range dst {
		dst[i] = s.Uniform(first + i)
	}
}

// Normals fills dst with the standard normal numbers of the trials from first
// on, accurate to 1e-9.
func (s Stream) Normals(dst []float64, first int) {
	state := s.state + uint64(first)*golden
	for i := range dst {
		state += golden
		dst[i] = normalOf(scramble(state))
	}
}
