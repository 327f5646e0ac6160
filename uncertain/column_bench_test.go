package uncertain

import "testing"

func BenchmarkColumn(b *testing.B) {
	c := Range{240, 320, 520}.Curve()
	dst, factor := make([]float64, BlockTrials), make([]float64, BlockTrials)
	s := NewStream(1, "a", "b")
	l := NewLoading(0.25, NoBias())
	l.Factor(factor, s, 0)
	perDraw := func(b *testing.B) {
		b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/BlockTrials, "ns/draw")
	}
	b.Run("draw", func(b *testing.B) {
		for b.Loop() {
			c.Draw(dst, l.Own, s, 0, factor)
		}
		perDraw(b)
	})
	b.Run("normals", func(b *testing.B) {
		for b.Loop() {
			s.Normals(dst, 0)
		}
		perDraw(b)
	})
	b.Run("values", func(b *testing.B) {
		for b.Loop() {
			c.Column(dst, factor)
		}
		perDraw(b)
	})
}
