// A gear in space, as the engine's answer has it: which solids there are, and where each stands when the chain has
// gone on by a way. Lengths are mm; x forward, y to the drive side, z up.

export const floats = 13; // of a place: three axes, the origin, and how much of the accent is in it

// point is where the chain is s pitches behind pin 0, between the points that the engine gives.
function point(a, s) {
  const n = a.run.length / 3, at = ((s * a.steps) % n + n) % n, i = Math.floor(at), f = at - i, j = (i + 1) % n;
  return [0, 1, 2].map((k) => a.run[3 * i + k] + f * (a.run[3 * j + k] - a.run[3 * i + k]));
}

// between writes a link's place by its two pins: x from the one to the other, z in the wheels' plane.
function between(out, at, p, q) {
  const d = [q[0] - p[0], q[1] - p[1], q[2] - p[2]], long = Math.hypot(...d), flat = Math.hypot(d[0], d[2]);
  const x = d.map((v) => v / long), z = [-d[2] / flat, 0, d[0] / flat];
  out.set([...x, z[1] * x[2] - z[2] * x[1], z[2] * x[0] - z[0] * x[2], z[0] * x[1] - z[1] * x[0], ...z, (p[0] + q[0]) / 2, (p[1] + q[1]) / 2, (p[2] + q[2]) / 2, 0], at);
}

// comeAs is how links run onto a wheel at a moment of a film: how far a place of the chain is off the straight path
// sideways, and in a fall away from the wheel's axle and how it leans; and which links stand on a tip. It tells the phase
// too, of those near to one at which the film's links are.
export function comeAs(a, entry, film, frame, near) {
  const way = entry.direction === 'riding' ? 1 : -1, pitch = film.pitch_mm, axle = a.wheels.find((w) => w.drives && w.part === entry.at).at, line = axle[1];
  const list = [...frame.links].sort((p, q) => p.x - q.x), outer = list.find((l) => !l.inner), place = (l) => entry.from + way * l.x / pitch;
  const first = list[0].x, last = list.at(-1).x;
  const phase = near + rest(place(outer) - 0.5 - near, 2);
  // between two links, and smoothly none at the film's ends
  const told = (s, value) => {
    const x = way * rest(s - entry.from, a.links) * pitch;
    if (x <= first || x >= last) return 0;
    const i = list.findIndex((l) => l.x > x), p = list[i - 1], q = list[i], u = value(p), v = value(q);
    return (u + (v - u) * (x - p.x) / (q.x - p.x)) * Math.min(1, (x - first) / (2 * pitch), (last - x) / pitch);
  };
  const from = (p) => { const d = [p[0] - axle[0], p[2] - axle[2]], far = Math.hypot(...d); return d.map((v) => v / far); };
  const across = from(point(a, entry.from)); // of the run
  return {
    phase,
    axle,
    outward: (s, p) => (way * rest(s - entry.from, a.links) < 0 ? across : from(p)),
    tips: list.filter((l) => l.tip).map(place),
    off: (s, y) => told(s, (l) => line + l.y - y),
    lift: (s) => told(s, (l) => l.lift || 0),
    lean: (s) => told(s, (l) => l.lean || 0) * Math.PI / 180,
  };
}

// rest is what is left over whole rounds, to either side.
const rest = (v, round) => v - round * Math.round(v / round);

// move puts a pin where a film has it.
function move(p, come, k) {
  p[1] += come.off(k, p[1]);
  const lift = come.lift(k), d = come.outward(k, p);
  p[0] += lift * d[0];
  p[2] += lift * d[1];
}

// tilt turns a link about its length, the outboard side away from the wheel's axle.
function tilt(out, at, come, angle) {
  if (!angle) return;
  const y = out.subarray(at + 3, at + 6), z = out.subarray(at + 6, at + 9), outward = z[0] * (out[at + 9] - come.axle[0]) + z[2] * (out[at + 11] - come.axle[2]);
  const c = Math.cos(angle), s = Math.sin(angle) * Math.sign(outward);
  for (let i = 0; i < 3; i++) [y[i], z[i]] = [c * y[i] + s * z[i], c * z[i] - s * y[i]];
}

// links places every other link from the first one on, and gives the accent to those within reach of a place, or on a tip.
function links(a, first) {
  const count = Math.ceil((a.links - first) / 2);
  return {
    count,
    place(out, phase, marked, come) {
      for (let i = 0; i < count; i++) {
        const k = first + 2 * i + phase, p = point(a, k), q = point(a, k + 1);
        if (come) {
          move(p, come, k);
          move(q, come, k + 1);
        }
        between(out, floats * i, p, q);
        if (come) tilt(out, floats * i, come, come.lean(k + 0.5));
        if (come ? come.tips.some((s) => Math.abs(rest(k + 0.5 - s, a.links)) < 0.25) : marked && Math.hypot((p[0] + q[0]) / 2 - marked[0], (p[2] + q[2]) / 2 - marked[2]) < Math.hypot(q[0] - p[0], q[2] - p[2])) out[floats * i + 12] = 1;
      }
    },
  };
}

function teeth(w, kind) {
  const count = w.teeth / w.kinds.length;
  return {
    count,
    place(out, phase) {
      for (let i = 0; i < count; i++) {
        const t = w.turned + w.rate * phase + 2 * Math.PI * (i * w.kinds.length + kind) / w.teeth, c = Math.cos(t), s = Math.sin(t);
        out.set([c, 0, s, 0, 1, 0, -s, 0, c, ...w.at, 0], floats * i);
      }
    },
  };
}

const still = { count: 1, place(out) { out.set([1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 0]); } };

// itemsOf lists an answer's solids: a mesh, what it is, how many there are, and what places them.
export function itemsOf(a) {
  const list = [{ mesh: a.outer, what: 'outer', ...links(a, 0) }, { mesh: a.inner, what: 'inner', ...links(a, 1) }];
  for (const w of a.wheels) w.kinds.forEach((mesh, k) => list.push({ mesh, what: w.drives ? 'lit' : 'wheel', ...teeth(w, k) }));
  for (const what of ['cage', 'tyre', 'stay']) if (a[what]) list.push({ mesh: a[what], what, ...still });
  return list;
}

// verticesOf are all corners where they stand, by what they belong to, for tests.
export function verticesOf(a, phase) {
  const all = {};
  for (const item of itemsOf(a)) {
    const at = new Float32Array(floats * item.count), p = item.mesh.points, out = all[item.what] ??= [];
    item.place(at, phase, null);
    for (let i = 0; i < item.count; i++) {
      const f = at.subarray(floats * i);
      for (let k = 0; k < p.length; k += 3) for (let j = 0; j < 3; j++) out.push(f[9 + j] + p[k] * f[j] + p[k + 1] * f[3 + j] + p[k + 2] * f[6 + j]);
    }
  }
  return all;
}

const sharp = Math.cos(40 * Math.PI / 180); // edges that are sharper stay edges

// shaded are a mesh's triangles corner by corner, with normals that are smooth over what is round.
export function shaded(mesh) {
  const p = mesh.points, t = mesh.triangles, n = t.length / 3, faces = new Float32Array(3 * n), at = Array.from({ length: p.length / 3 }, () => []);
  for (let i = 0; i < n; i++) {
    const [a, b, c] = [0, 1, 2].map((k) => 3 * t[3 * i + k]), u = [0, 1, 2].map((k) => p[b + k] - p[a + k]), v = [0, 1, 2].map((k) => p[c + k] - p[a + k]);
    faces.set([u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]], 3 * i);
    for (let k = 0; k < 3; k++) at[t[3 * i + k]].push(i);
  }
  const size = (i) => Math.hypot(faces[3 * i], faces[3 * i + 1], faces[3 * i + 2]) || 1;
  const out = new Float32Array(18 * n);
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < 3; k++) {
      const corner = t[3 * i + k], sum = [0, 0, 0];
      for (const j of at[corner]) {
        const cos = (faces[3 * i] * faces[3 * j] + faces[3 * i + 1] * faces[3 * j + 1] + faces[3 * i + 2] * faces[3 * j + 2]) / size(i) / size(j);
        if (cos > sharp) for (let m = 0; m < 3; m++) sum[m] += faces[3 * j + m];
      }
      const long = Math.hypot(...sum) || 1;
      out.set([p[3 * corner], p[3 * corner + 1], p[3 * corner + 2], sum[0] / long, sum[1] / long, sum[2] / long], 6 * (3 * i + k));
    }
  }
  return out;
}
