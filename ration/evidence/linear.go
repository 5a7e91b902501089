package evidence

import (
	"gonum.org/v1/gonum/mat"
)

// reading is one observation of the linear model: value = Σ at[k]·z[k] + noise,
// where the unknowns z are independent and standard normal before any reading.
type reading struct {
	value float64 // less what the model expects with all z at 0
	at    []float64
	sd    float64 // of the noise, above 0
}

// gaussian is a normal distribution of several unknowns.
type gaussian struct {
	mean []float64
	cov  *mat.SymDense
}

// posterior solves the model for its first keep unknowns. Every unknown is counted
// in its own prior SD, so the matrix factored (information form) is the unit matrix
// plus a sum of squares: its least eigenvalue is 1 or more whatever the readings
// are, and Cholesky cannot fail.
func posterior(n, keep int, readings []reading) gaussian {
	a := make([]float64, n*n)
	b := make([]float64, n)
	for i := range n {
		a[i*n+i] = 1
	}
	scaled := make([]float64, n)
	for _, r := range readings {
		for i, v := range r.at {
			scaled[i] = v / r.sd
		}
		value := r.value / r.sd
		for i, v := range scaled {
			if v == 0 {
				continue
			}
			b[i] += v * value
			row := a[i*n : i*n+n]
			for j := i; j < n; j++ {
				row[j] += v * scaled[j]
			}
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(mat.NewSymDense(n, a)) {
		panic("evidence: the information matrix is not positive definite") // a reading was not finite: ours
	}
	// The first keep columns of the inverse, and the mean beside them.
	rhs := mat.NewDense(n, keep+1, nil)
	for i := range keep {
		rhs.Set(i, i, 1)
	}
	for i, v := range b {
		rhs.Set(i, keep, v)
	}
	var x mat.Dense
	_ = chol.SolveTo(&x, rhs) // a large condition number is no error here: see above
	g := gaussian{mean: make([]float64, keep), cov: mat.NewSymDense(keep, nil)}
	for i := range keep {
		g.mean[i] = x.At(i, keep)
		for j := i; j < keep; j++ {
			g.cov.SetSym(i, j, (x.At(i, j)+x.At(j, i))/2)
		}
	}
	return g
}

// of is the mean and variance of Σ f[k]·z[k].
func (g gaussian) of(f []float64) (mean, variance float64) {
	for i, v := range f {
		if v == 0 {
			continue
		}
		mean += v * g.mean[i]
		for j, w := range f {
			variance += v * w * g.cov.At(i, j)
		}
	}
	return mean, max(0, variance)
}

// told takes in what others know of unknown k alone: precision and precision × mean
// of it, in its prior SD. The result is exact.
func (g gaussian) told(k int, precision, information float64) gaussian {
	n := len(g.mean)
	out := gaussian{mean: make([]float64, n), cov: mat.NewSymDense(n, nil)}
	d := 1 + precision*g.cov.At(k, k)
	for i := range n {
		ci := g.cov.At(i, k)
		out.mean[i] = g.mean[i] + ci*(information-precision*g.mean[k])/d
		for j := i; j < n; j++ {
			out.cov.SetSym(i, j, g.cov.At(i, j)-precision*ci*g.cov.At(j, k)/d)
		}
	}
	return out
}

// message is what a posterior says of unknown k beyond its prior, to be told to others.
func (g gaussian) message(k int) (precision, information float64) {
	v := g.cov.At(k, k)
	return max(0, 1/v-1), g.mean[k] / v
}
