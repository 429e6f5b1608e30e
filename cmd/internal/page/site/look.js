// From where the space is looked at, and what that makes of places: turned about the vertical, tipped, stretched across
// the bicycle, without perspective, so that lengths can be told.

const rad = Math.PI / 180;

// turnOf are the directions to the right, up and towards the viewer.
function turnOf(azimuth, height) {
  const ca = Math.cos(azimuth * rad), sa = Math.sin(azimuth * rad), ch = Math.cos(height * rad), sh = Math.sin(height * rad);
  return { right: [ca, sa, 0], up: [sa * sh, -ca * sh, ch], toward: [-sa * ch, ca * ch, sh] };
}

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

// lookAt returns the look of a view on a window of a size, px, that holds the points of a rim.
export function lookAt(view, rim, width, height) {
  const { right, up, toward } = turnOf(view.azimuth, view.height), stretched = (p) => [p[0], p[1] * view.stretch, p[2]];
  const seen = rim.map((p) => { const q = stretched(p); return [dot(q, right), dot(q, up), dot(q, toward)]; });
  const lo = [0, 1, 2].map((i) => Math.min(...seen.map((q) => q[i]))), hi = [0, 1, 2].map((i) => Math.max(...seen.map((q) => q[i])));
  const k = view.zoom * Math.min((width - 2 * margin) / (hi[0] - lo[0]), (height - 2 * margin - 2 * lift) / (hi[1] - lo[1]));
  const centre = [0, 1, 2].map((i) => (lo[i] + hi[i]) / 2);
  const middle = [0, 1, 2].map((i) => centre[0] * right[i] + centre[1] * up[i] + centre[2] * toward[i]); // stretched
  const [px, py] = [view.pan[0], view.pan[1] - lift];
  return {
    k, stretch: view.stretch, toward,
    turn: [right[0], up[0], toward[0], right[1], up[1], toward[1], right[2], up[2], toward[2]],
    middle: [middle[0], middle[1] / view.stretch, middle[2]],
    window: [2 * k / width, 2 * k / height, 2 * px / width, -2 * py / height],
    deep: 1 / 2000 / Math.max(1, view.stretch / 2), // metres before and behind
    // project gives where a place is seen, px from the left and top.
    project(p) {
      const q = stretched(p).map((v, i) => v - middle[i]);
      return [width / 2 + px + k * dot(q, right), height / 2 + py - k * dot(q, up)];
    },
    // under is the place, stretched, on a plane through the middle that a pixel shows.
    under(x, y) {
      const a = (x - width / 2 - px) / k, b = -(y - height / 2 - py) / k;
      return [0, 1, 2].map((i) => middle[i] + a * right[i] + b * up[i]);
    },
    // across is which way, px, a millimetre outboard goes on the screen.
    across: [k * view.stretch * right[1], -k * view.stretch * up[1]],
  };
}

const margin = 30, lift = 20; // px round what is shown, and more below it, for the axes

// wheelUnder returns the wheel that is seen foremost at a pixel, or undefined.
export function wheelUnder(look, wheels, x, y) {
  let found, most = -Infinity;
  const from = look.under(x, y), to = look.toward;
  for (const w of wheels) {
    const o = [from[0] - w.at[0], from[1] - w.at[1] * look.stretch, from[2] - w.at[2]], half = Math.max(w.thick, 2.4) / 2 * look.stretch;
    // Along the way o + t·to: within the tips' cylinder, and between its ends.
    const a = to[0] ** 2 + to[2] ** 2, b = o[0] * to[0] + o[2] * to[2], c = o[0] ** 2 + o[2] ** 2 - w.tip ** 2;
    let lo = -Infinity, hi = Infinity;
    if (a < 1e-12) { if (c > 0) continue; } else {
      const root = b * b - a * c;
      if (root < 0) continue;
      lo = (-b - Math.sqrt(root)) / a;
      hi = (-b + Math.sqrt(root)) / a;
    }
    if (Math.abs(to[1]) < 1e-12) { if (Math.abs(o[1]) > half) continue; } else {
      const ends = [(-half - o[1]) / to[1], (half - o[1]) / to[1]].sort((p, q) => p - q);
      lo = Math.max(lo, ends[0]);
      hi = Math.min(hi, ends[1]);
    }
    if (lo <= hi && hi > most) { most = hi; found = w; }
  }
  return found;
}
