package learn

import "math"

// reading is one observation of a latent value: itself, or a bound on it.
type reading struct {
	kind  Kind // Reached, NotYet or Past
	value float64
	sd    float64
}

// posterior is a normal model of latent values given readings.
type posterior struct {
	inverse []float64 // of the covariance of the readings, n×n
	alpha   []float64 // inverse × values
	trust   []float64 // 1 counts fully, 0 is set aside
	score   float64   // log probability of each reading given the others, summed
}

// infer conditions latent values of prior mean 0 and covariance cov, one per
// reading, on the readings. Each is judged against what all the others foretell
// of it (Rasmussen & Williams 2006, eq. 5.12): one far off is set aside, and a
// bound becomes the normal with the same effect on mean and variance (3.6,
// expectation propagation).
func infer(cov []float64, seen []reading) posterior {
	n := len(seen)
	p := posterior{make([]float64, n*n), make([]float64, n), make([]float64, n), 0}
	value, variance := make([]float64, n), make([]float64, n)
	for i, r := range seen {
		p.trust[i] = 1
		if variance[i] = unheard; r.kind == Reached {
			value[i], variance[i] = r.value, r.sd*r.sd
		}
	}
	const rounds = 12
	for range rounds {
		p.condition(cov, value, variance)
		p.score = 0
		change := 0.0
		for i, r := range seen {
			total := 1 / p.inverse[i*n+i]
			others := normal{value[i] - p.alpha[i]*total, max(total-variance[i], 1e-9)}
			v, s, surprise, score := r.site(others)
			p.trust[i] = (p.trust[i] + trust(surprise)) / 2
			s = min(s/max(p.trust[i], 1e-6), unheard)
			change = max(change, math.Abs(v-value[i]), math.Abs(s-variance[i])/(s+variance[i]))
			p.score += score
			value[i], variance[i] = v, s
		}
		if change < 1e-6 {
			break
		}
	}
	p.condition(cov, value, variance)
	return p
}

// unheard is the variance of a reading that says nothing.
const unheard = 1e3

func (p *posterior) condition(cov, value, variance []float64) {
	n := len(value)
	copy(p.inverse, cov)
	for i, v := range variance {
		p.inverse[i*n+i] += v
	}
	invert(p.inverse, n)
	for i := range n {
		p.alpha[i] = 0
		for j, y := range value {
			p.alpha[i] += p.inverse[i*n+j] * y
		}
	}
}

// predict gives mean and variance of a value whose prior variance is own and
// whose covariances with the readings are cov.
func (p *posterior) predict(cov []float64, own float64) (mean, variance float64) {
	n := len(cov)
	variance = own
	for i, c := range cov {
		mean += c * p.alpha[i]
		for j, d := range cov {
			variance -= c * d * p.inverse[i*n+j]
		}
	}
	return mean, max(variance, 1e-9)
}

type normal struct{ mean, variance float64 }

// site is the normal that stands for the reading where the others foretell m,
// how surprising it is in standard deviations, and its log probability.
func (r reading) site(m normal) (value, variance, surprise, score float64) {
	total := m.variance + r.sd*r.sd
	z := (r.value - m.mean) / math.Sqrt(total)
	if r.kind == Reached {
		return r.value, r.sd * r.sd, z, -(min(z*z, 16) + math.Log(total)) / 2
	}
	if r.kind == Past {
		z = -z
	}
	z = max(z, -6)
	below := math.Erfc(-z/math.Sqrt2) / 2
	slope := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / below
	shift := m.variance * slope / math.Sqrt(total)
	if r.kind == NotYet {
		shift = -shift
	}
	shrink := max(slope*(z+slope), 1e-9) // of the variance, relative to total
	variance = min(total/shrink-m.variance, unheard)
	return m.mean + shift*(1+variance/m.variance), variance, min(z, 0), math.Log(below)
}

// trust falls from 1 at two standard deviations to 0 at four.
func trust(z float64) float64 {
	x := min(max(math.Abs(z)/2-1, 0), 1)
	return (1 - x*x) * (1 - x*x)
}

// invert replaces a symmetric positive definite matrix by its inverse:
// Gauss-Jordan without pivots.
func invert(a []float64, n int) {
	for k := range n {
		row := a[k*n : k*n+n]
		pivot := 1 / row[k]
		row[k] = 1
		for j := range row {
			row[j] *= pivot
		}
		for i := range n {
			if i == k {
				continue
			}
			r := a[i*n : i*n+n]
			c := r[k]
			r[k] = 0
			for j, x := range row {
				r[j] -= c * x
			}
		}
	}
}
