package joint

// Alpha is largest over smallest preload of a symmetric scatter of +-x.
//
// ref: VDI_2230 tightening factor
func Alpha(x float64) float64 { return (1 + x) / (1 - x) }

// HalfWidth is the symmetric scatter of a largest over smallest preload.
func HalfWidth(alpha float64) float64 { return (alpha - 1) / (alpha + 1) }
