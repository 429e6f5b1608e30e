package engage

// band is the half bandwidth of the equations: with the multiplier of a held
// link set in between its pins, pins two apart stand at most four apart.
const band = 4

// assemble writes the lower band of the saddle matrix [H Aᵀ; A 0] and the right
// side [g; b] with H and g of the present piece. A row i of a holds columns
// i-4 … i.
func (s *solve) assemble(r *pinRow) {
	n := len(s.y)
	at := 0
	for i := 0; i < n; i++ {
		s.place[i] = at
		at++
		if i < n-1 && s.held[i] != 0 {
			s.mul[i] = at
			at++
		}
	}
	s.size = at
	a, z := s.a[:at], s.z[:at]
	for i := range a {
		a[i] = [band + 1]float64{}
	}
	tp := r.Tension / r.Pitch
	for i := 0; i < n; i++ {
		row := s.place[i]
		z[row] = r.Load[i]
		if i > 0 {
			a[row][band] += tp
			a[row][band-(row-s.place[i-1])] -= tp
			a[s.place[i-1]][band] += tp
		}
	}
	kp2 := r.Stiffness / (r.Pitch * r.Pitch)
	kf := r.Stiffness * r.Slack / r.Pitch
	for i := 1; i < n-1; i++ {
		if s.bent[i] == 0 {
			continue
		}
		x, y, w := s.place[i-1], s.place[i], s.place[i+1]
		a[x][band] += kp2
		a[y][band] += 4 * kp2
		a[w][band] += kp2
		a[y][band-(y-x)] -= 2 * kp2
		a[w][band-(w-y)] -= 2 * kp2
		a[w][band-(w-x)] += kp2
		f := kf * float64(s.bent[i])
		z[x] += f
		z[y] -= 2 * f
		z[w] += f
	}
	for i := 0; i < n-1; i++ {
		if s.held[i] == 0 {
			continue
		}
		m := s.mul[i]
		a[m][band-1] = 0.5
		a[m+1][band-1] = 0.5
		z[m] = float64(s.held[i]) * r.Play[i]
	}
}

// factor computes the LDLᵀ factors in place: a holds L (unit diagonal implied),
// inv the inverse pivots.
func (s *solve) factor() {
	a, inv := s.a[:s.size], s.inv[:s.size]
	for j := range a {
		row := &a[j]
		if j < band {
			s.factorFirst(j)
			continue
		}
		// u = L D of this row, from the left.
		r1, r2, r3 := &a[j-3], &a[j-2], &a[j-1]
		u0 := row[0]
		u1 := row[1] - u0*r1[3]
		u2 := row[2] - u0*r2[2] - u1*r2[3]
		u3 := row[3] - u0*r3[1] - u1*r3[2] - u2*r3[3]
		i := inv[j-4 : j : j]
		row[0], row[1], row[2], row[3] = u0*i[0], u1*i[1], u2*i[2], u3*i[3]
		inv[j] = 1 / (row[band] - u0*row[0] - u1*row[1] - u2*row[2] - u3*row[3])
	}
}

// factorFirst is factor of one of the first rows, which have fewer to their left.
func (s *solve) factorFirst(j int) {
	row := &s.a[j]
	var u [band]float64
	d := row[band]
	for k := band - j; k < band; k++ {
		u[k] = row[k]
		for m := band - j; m < k; m++ {
			u[k] -= u[m] * s.a[j-band+k][m-k+band]
		}
		row[k] = u[k] * s.inv[j-band+k]
		d -= u[k] * row[k]
	}
	s.inv[j] = 1 / d
}

// substitute solves L D Lᵀ x = z in place.
func (s *solve) substitute() {
	a, inv, z := s.a[:s.size], s.inv[:s.size], s.z[:s.size]
	var p, q, v, w float64 // the last four, the oldest first; before the first they are 0
	for j := range a {
		l := &a[j]
		x := z[j] - l[0]*p - l[1]*q - l[2]*v - l[3]*w
		z[j] = x
		p, q, v, w = q, v, w, x
	}
	p, q, v, w = 0, 0, 0, 0 // now the next four, the nearest first
	for j := len(a) - 1; j >= 0; j-- {
		x := z[j] * inv[j]
		if below := a[j+1:]; len(below) >= band {
			x = x - below[0][3]*p - below[1][2]*q - below[2][1]*v - below[3][0]*w
		} else {
			for k, l := range below {
				x -= l[band-1-k] * z[j+1+k]
			}
		}
		z[j] = x
		p, q, v, w = x, p, q, v
	}
}
