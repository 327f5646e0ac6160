package forecast

import (
	"testing"

	"wreckwright/outside"
)

// TestAgainstNumpy compares a whole case - jobs with hours, fallbacks and
// chances of need, hidden damage, one common factor - with the same model
// written apart in numpy: testdata/numpy_model.py, `tuned 40 2000000`.
func TestAgainstNumpy(t *testing.T) {
	c := benchCase(40, 400_000)
	r := run(t, c)
	hidden := r.Hidden[0].VarianceShare
	// The hidden damage has sigma 1.56: its fourth cumulant 3 d^4 exp(8 sigma^2),
	// d = 197, is some 600 to 900 times the squared variance of the total, so the sd
	// of 400,000 trials has a standard error of 2.5 %.
	const why = "4 standard errors of 400,000 trials beside 2,000,000"
	outside.Check(t, []outside.Case{
		{Source: "DESIGN_FORECAST", Where: "numpy_model.py", What: "mean of the total", Got: r.Total.Mean, Want: 30834.577, Tolerance: 47, Why: why},
		{Source: "DESIGN_FORECAST", Where: "numpy_model.py", What: "sd of the total", Got: r.Total.SD, Want: 6686.41, Tolerance: 670, Why: why + ", heavy upper tail"},
		{Source: "DESIGN_FORECAST", Where: "numpy_model.py", What: "10 % point", Got: r.Total.P10, Want: 25205.73, Tolerance: 30, Why: why},
		{Source: "DESIGN_FORECAST", Where: "numpy_model.py", What: "50 % point", Got: r.Total.P50, Want: 29365.87, Tolerance: 40, Why: why},
		{Source: "DESIGN_FORECAST", Where: "numpy_model.py", What: "80 % point", Got: r.Total.P80, Want: 34054.55, Tolerance: 70, Why: why},
		{Source: "DESIGN_FORECAST", Where: "numpy_model.py", What: "90 % point", Got: r.Total.P90, Want: 37703.88, Tolerance: 130, Why: why},
		{Source: "DESIGN_FORECAST", Where: "numpy_model.py", What: "50 % point of the hours", Got: r.Hours.P50, Want: 140.9796, Tolerance: 0.2, Why: why},
		{Source: "DESIGN_FORECAST", Where: "numpy_model.py", What: "chance under 38,000", Got: *r.ChanceUnderCeiling, Want: 0.9052045, Tolerance: 4 * 1.1 * *r.StandardError, Why: why},
		{Source: "DESIGN_FORECAST", Where: "numpy_model.py", What: "covariance share of the hidden damage", Got: hidden, Want: 0.54299, Tolerance: 0.1, Why: why + ", heavy upper tail"},
	})
}
