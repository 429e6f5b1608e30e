package pins

import "math"

// newton solves H d = -g by L D Lᵀ for a positive definite H of half width two, n >= 2: h0
// is its diagonal, h1[i] ties i to i+1 and h2[i] to i+2; both are overwritten by factors.
// It fills d and returns g·d, the slope along it, and d's longest part. All have n places.
// Rows are eliminated from both ends towards two in the middle: two chains of divisions
// that do not wait for each other.
func newton(h0, h1, h2, g, d []float64) (slope, longest float64) {
	n := len(d)
	h0, h1, h2, g = h0[:n], h1[:n], h2[:n], g[:n]
	c := (n - 2) / 2 // the first of the two
	// What eliminated rows take off the next is in p, off the one after it in q, off
	// what ties these two in e; off their right sides in u and v.
	var p, q, e, u, v float64
	var pb, qb, eb, ub, vb float64
	j := n - 1
	if n-2-c > c {
		inv := 1 / h0[j]
		a, b, z := h1[j-1], h2[j-2], -g[j]
		l1, l2 := a*inv, b*inv
		pb, qb, eb = l1*a, l2*b, l1*b
		ub, vb = l1*z, l2*z
		h1[j-1], h2[j-2], d[j] = l1, l2, z*inv
		j--
	}
	for i := 0; i < c; i++ {
		inv, invb := 1/(h0[i]-p), 1/(h0[j]-pb)
		a, b, z := h1[i]-e, h2[i], -g[i]-u
		l1, l2 := a*inv, b*inv
		p, q, e = q+l1*a, l2*b, l1*b
		u, v = v+l1*z, l2*z
		h1[i], h2[i], d[i] = l1, l2, z*inv

		a, b, z = h1[j-1]-eb, h2[j-2], -g[j]-ub
		l1, l2 = a*invb, b*invb
		pb, qb, eb = qb+l1*a, l2*b, l1*b
		ub, vb = vb+l1*z, l2*z
		h1[j-1], h2[j-2], d[j] = l1, l2, z*invb
		j--
	}
	a, b, o := h0[c]-p-qb, h0[c+1]-q-pb, h1[c]-e-eb
	x, y := -g[c]-u-vb, -g[c+1]-v-ub
	inv := 1 / (a*b - o*o)
	x, y = (b*x-o*y)*inv, (a*y-o*x)*inv
	d[c], d[c+1] = x, y
	x1, y1 := y, x // one further in
	for i, j := c-1, c+2; j < n; i, j = i-1, j+1 {
		if i >= 0 {
			x, x1 = d[i]-h1[i]*x-h2[i]*x1, x
			d[i] = x
		}
		y, y1 = d[j]-h1[j-1]*y-h2[j-2]*y1, y
		d[j] = y
	}
	for i, x := range d {
		slope += x * g[i]
		if x = math.Abs(x); x > longest {
			longest = x
		}
	}
	return slope, longest
}
