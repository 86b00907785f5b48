/* The bench's arithmetic: the same sums as the program does for a length beside a known length and
   for a length on a plane, so that a preview can stand on the page. The program's figure counts. */
(function () {
  "use strict";
  const ORDINARY_LENS = 1.5, REACH = 0.1, STRAIGHT = 0.05, FEWEST = 4, DEEPEST = 0.25, WORTH = 8, SAME_EYE_PX = 0.5;
  const hypot = (v) => Math.hypot(...v);
  const minus = (a, b) => a.map((value, i) => value - b[i]);
  const dot = (a, b) => a.reduce((total, value, i) => total + value * b[i], 0);
  const times = (a, b) => a.map((row) => b[0].map((_, j) => row.reduce((total, value, k) => total + value * b[k][j], 0)));
  const turned = (a) => a[0].map((_, j) => a.map((row) => row[j]));
  const refuse = (refused, way) => ({ refused, way });

  /* The solution of a square system by elimination with pivots, null where there is none. */
  function solve(matrix, right) {
    const n = matrix.length, m = matrix.map((row, i) => [...row, ...[].concat(right[i])]);
    for (let c = 0; c < n; c += 1) {
      let best = c;
      for (let r = c + 1; r < n; r += 1) if (Math.abs(m[r][c]) > Math.abs(m[best][c])) best = r;
      if (!(Math.abs(m[best][c]) > 1e-300)) return null;
      [m[c], m[best]] = [m[best], m[c]];
      for (let r = 0; r < n; r += 1) {
        if (r === c || !m[r][c]) continue;
        const part = m[r][c] / m[c][c];
        for (let k = c; k < m[r].length; k += 1) m[r][k] -= part * m[c][k];
      }
    }
    return m.map((row, i) => row.slice(n).map((value) => value / row[i]));
  }
  const inverse = (matrix) => solve(matrix, matrix.map((_, i) => matrix.map((__, j) => Number(i === j))));

  /* Eigenvectors of a symmetric matrix by Jacobi's turns, those of the largest values first. */
  function axesOf(matrix) {
    const n = matrix.length, a = matrix.map((row) => [...row]), v = a.map((_, i) => a.map((__, j) => Number(i === j)));
    for (let sweep = 0; sweep < 60; sweep += 1)
      for (let p = 0; p < n - 1; p += 1)
        for (let q = p + 1; q < n; q += 1) {
          if (Math.abs(a[p][q]) < 1e-300) continue;
          const theta = (a[q][q] - a[p][p]) / (2 * a[p][q]);
          const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
          const c = 1 / Math.sqrt(t * t + 1), s = t * c;
          for (let k = 0; k < n; k += 1) [a[k][p], a[k][q]] = [c * a[k][p] - s * a[k][q], s * a[k][p] + c * a[k][q]];
          for (let k = 0; k < n; k += 1) [a[p][k], a[q][k]] = [c * a[p][k] - s * a[q][k], s * a[p][k] + c * a[q][k]];
          for (let k = 0; k < n; k += 1) [v[k][p], v[k][q]] = [c * v[k][p] - s * v[k][q], s * v[k][p] + c * v[k][q]];
        }
    const order = a.map((_, i) => i).sort((i, j) => a[j][j] - a[i][i]);
    return order.map((i) => ({ value: Math.max(0, a[i][i]), axis: v.map((row) => row[i]) }));
  }

  /* The chance of a chi-square at least this large (Abramowitz & Stegun 6.5.29, 6.5.31). */
  function lnGamma(x) {
    const g = [76.18009172947146, -86.50532032941677, 24.01409824083091, -1.231739572450155, 1.208650973866179e-3, -5.395239384953e-6];
    let series = 1.000000000190015;
    g.forEach((value, i) => { series += value / (x + 1 + i); });
    return Math.log(2.5066282746310005 * series / x) - (x + 5.5) + (x + 0.5) * Math.log(x + 5.5);
  }
  function chi2Tail(chi2, dof) {
    if (dof <= 0 || chi2 <= 0) return 1;
    const a = dof / 2, x = chi2 / 2, front = Math.exp(-x + a * Math.log(x) - lnGamma(a));
    if (x < a + 1) {
      let term = 1 / a, total = term;
      for (let k = a + 1; Math.abs(term) > 1e-16 * Math.abs(total); k += 1) { term *= x / k; total += term; }
      return Math.max(0, 1 - front * total);
    }
    let b = x + 1 - a, c = 1e300, d = 1 / b, value = d;
    for (let i = 1; i < 500; i += 1) {
      const an = -i * (i - a);
      b += 2; d = 1 / (an * d + b); c = b + an / c; value *= c * d;
      if (Math.abs(c * d - 1) < 1e-15) break;
    }
    return front * value;
  }

  /* How many standard errors hold 95 %, by Student's t (Abramowitz & Stegun 26.7.3, 26.7.4), over
     1.96: what an error grows by that so few residuals have told. */
  function student(dof) {
    const within = (t) => {
      const angle = Math.atan2(t, Math.sqrt(dof)), sine = Math.sin(angle), cosine = Math.cos(angle), odd = dof % 2;
      let term = odd ? cosine : 1, total = 0;
      for (let k = 1 + odd; k < dof; k += 2) { total += term; term *= cosine * cosine * k / (k + 1); }
      return odd ? 2 / Math.PI * (angle + sine * total) : sine * total;
    };
    let low = 1.96, high = 13;
    for (let i = 0; i < 60; i += 1) { const middle = (low + high) / 2; if (within(middle) < 0.95) low = middle; else high = middle; }
    return high / 1.96;
  }

  /* How far off one person's picks are on a photograph, by all points picked more than once: the sum
     of squares about their means and its degrees of freedom. */
  function pooled(points) {
    let squares = 0, freedom = 0;
    for (const made of points) {
      if (made.length < 2) continue;
      const middle = mean(made);
      for (const at of made) squares += dot(minus(at, middle), minus(at, middle));
      freedom += 2 * (made.length - 1);
    }
    return { squares, freedom };
  }
  const mean = (made) => [0, 1].map((axis) => made.reduce((total, at) => total + at[axis], 0) / made.length);
  const single = (scatter, expected) => Math.sqrt((WORTH * expected ** 2 + scatter.squares) / (WORTH + scatter.freedom));
  /* The error of the mean of so many picks of one point; what is expected where nobody repeated. */
  const pickError = (scatter, times, allow) => (scatter.freedom ? Math.hypot(single(scatter, allow.pick_px) / Math.sqrt(times), SAME_EYE_PX) : allow.pick_px);

  /* A length by proportion to a known length. All lengths in mm, pixels of the whole file.
     thing and rule: two pixels each, pick the error of each two (px) or none; known {mm, u}; size [across, down]; near {mm, u} or null where
     the known length lies in the same plane; distance {mm, u} or null; tilt in degrees. */
  function beside(asked, allow) {
    const picks = asked.pick || [allow.pick_px, allow.pick_px], tilt = (asked.tilt ?? allow.tilt_deg) * Math.PI / 180;
    const along = minus(asked.thing[1], asked.thing[0]), alongKnown = minus(asked.rule[1], asked.rule[0]);
    const d = hypot(along), dk = hypot(alongKnown);
    if (Math.min(d, dk) < 10) return refuse("Two of the picks lie on top of each other.", "Pick the two ends, well apart.");
    const e = along.map((v) => v / d), ek = alongKnown.map((v) => v / dk), length = asked.known.mm;
    if (asked.near && !asked.distance) return refuse("The known length lies in another plane, and nobody says how far off the camera stood.", "Say how far off it stood, or find a known length in the same plane.");
    const distance = asked.distance ? asked.distance.mm : ORDINARY_LENS * asked.size[0] * length / dk;
    const distanceU = asked.distance ? asked.distance.u || allow.distance_doubt * distance : allow.lens_doubt * distance;
    const nearer = asked.near ? asked.near.mm : 0;
    const nearerU = asked.near ? asked.near.u || allow.nearer_doubt * Math.abs(nearer) : 0;
    const deep = asked.near && nearer ? 0 : allow.same_plane_mm, behind = distance - nearer;
    if (distance <= 0 || behind <= 0) return refuse("The known length would stand behind the camera.", "Look again at the camera's distance and at how much nearer the known length is.");
    if (Math.abs(nearer) / distance > DEEPEST) return refuse("The known length stands too far out of the plane.", "Find a known length in the plane of what is measured.");
    const value = length * (d / dk) * distance / behind;
    const terms = [value / length * asked.known.u];
    for (const [scale, way, pick] of [[value / d, e, picks[0]], [value / dk, ek, picks[1]]])
      for (const w of way) terms.push(scale * pick * w, scale * pick * w);
    terms.push(value * nearerU / behind, value * nearer * distanceU / (distance * behind), value * deep / distance / Math.sqrt(3));
    const middle = (two) => [(two[0][0] + two[1][0]) / 2, (two[0][1] + two[1][1]) / 2];
    const apart = hypot(minus(middle(asked.thing), middle(asked.rule))) * value / d;
    const lean = (nearer || nearerU ? 1 : 2) * apart * Math.sin(tilt) / distance;
    terms.push(value * lean / Math.sqrt(6));
    terms.push(value * directionError(tilt, Math.acos(Math.min(1, Math.abs(dot(e, ek))))));
    terms.push(value * (asked.stretch ?? allow.stretch_percent) / 100 * (ek[0] ** 2 - e[0] ** 2));
    const bent = (at, way) => {
      const off = at.map((v, i) => (v - asked.size[i] / 2) / (ORDINARY_LENS * asked.size[0]));
      return dot(off, off) + 2 * dot(off, way) ** 2;
    };
    terms.push(value * (asked.bend ?? allow.bend) * (bent(middle(asked.thing), e) - bent(middle(asked.rule), ek)));
    return doubted(value, hypot(terms), allow);
  }

  function directionError(tilt, turn) {
    let total = 0;
    for (let i = 0; i < 24; i += 1)
      for (let j = 0; j < 72; j += 1) {
        const theta = (i + 0.5) / 24 * tilt, phi = (j + 0.5) / 72 * Math.PI;
        const shown = (angle) => Math.sqrt((Math.cos(angle) * Math.cos(theta)) ** 2 + Math.sin(angle) ** 2);
        total += (shown(phi) / shown(phi + turn) - 1) ** 2;
      }
    return Math.sqrt(total / (24 * 72));
  }

  function doubted(value, u, allow) {
    if (!(u < allow.most_doubt * value)) return refuse(`The error is ${Math.round(100 * u / value)} % of the size, too much to call it one.`, "Pick more closely, or find a better known length.");
    return { value, u };
  }

  /* The plane through surveyed points: their places and errors on it, and how far they stand off. */
  function flat(known) {
    const k = known.length, middle = [0, 1, 2].map((c) => known.reduce((total, one) => total + one.at[c], 0) / k);
    const away = known.map((one) => minus(one.at, middle));
    const found = axesOf([0, 1, 2].map((i) => [0, 1, 2].map((j) => away.reduce((total, a) => total + a[i] * a[j], 0))));
    const axes = found.slice(0, 2).map((one) => one.axis), off = away.map((a) => Math.abs(dot(a, found[2].axis)));
    return {
      straight: Math.sqrt(found[1].value / (found[0].value || 1)),
      off,
      at: away.map((a) => axes.map((axis) => dot(a, axis))),
      sigma: known.map((one, i) => axes.map((axis) => Math.sqrt(axis.reduce((total, w, c) => total + (w * one.u[c]) ** 2, 0) + off[i] ** 2 / 3))),
    };
  }

  const carried = (h, [x, y]) => {
    const w = h[2][0] * x + h[2][1] * y + h[2][2];
    return [(h[0][0] * x + h[0][1] * y + h[0][2]) / w, (h[1][0] * x + h[1][1] * y + h[1][2]) / w];
  };

  function normalising(points) {
    const middle = [0, 1].map((c) => points.reduce((total, p) => total + p[c], 0) / points.length);
    const spread = points.reduce((total, p) => total + hypot(minus(p, middle)), 0) / points.length || 1;
    const s = Math.SQRT2 / spread;
    return [[s, 0, -s * middle[0]], [0, s, -s * middle[1]], [0, 0, 1]];
  }

  /* Plane to picture from four or more points, by the direct linear transform. */
  function homography(plane, pixels) {
    const a = normalising(plane), b = normalising(pixels), rows = [];
    plane.forEach((p, i) => {
      const [x, y] = carried(a, p), [u, v] = carried(b, pixels[i]);
      rows.push([x, y, 1, 0, 0, 0, -u * x, -u * y, -u], [0, 0, 0, x, y, 1, -v * x, -v * y, -v]);
    });
    const found = axesOf(times(turned(rows), rows));
    if (found[7].value < 1e-18 * found[0].value) return null;
    const h = found[8].axis, back = inverse(b);
    const whole = back && times(times(back, [h.slice(0, 3), h.slice(3, 6), h.slice(6)]), a);
    return whole && Math.abs(whole[2][2]) > 1e-300 ? whole.map((row) => row.map((value) => value / whole[2][2])) : null;
  }

  /* Pixels of places on the plane and their derivatives: x is H (8), the lens term, then places. */
  function seen(x, size) {
    const focal = ORDINARY_LENS * size[0], middle = [size[0] / 2, size[1] / 2], k1 = x[8];
    const pixels = [], rows = [];
    for (let p = 9; p < x.length; p += 2) {
      const a = x[p], b = x[p + 1], w = x[6] * a + x[7] * b + 1;
      const plain = [0, 3].map((c) => (x[c] * a + x[c + 1] * b + x[c + 2]) / w);
      const by = plain.map((value, c) => {
        const row = new Array(x.length).fill(0);
        row[3 * c] = a / w; row[3 * c + 1] = b / w; row[3 * c + 2] = 1 / w;
        row[6] = -value * a / w; row[7] = -value * b / w;
        row[p] = (x[3 * c] - value * x[6]) / w; row[p + 1] = (x[3 * c + 1] - value * x[7]) / w;
        return row;
      });
      const off = plain.map((value, c) => (value - middle[c]) / focal), square = dot(off, off);
      off.forEach((value, c) => {
        pixels.push(middle[c] + focal * value * (1 + k1 * square));
        const row = by[0].map((_, n) => (1 + k1 * square) * by[c][n] + 2 * k1 * value * (off[0] * by[0][n] + off[1] * by[1][n]));
        row[8] = focal * value * square;
        rows.push(row);
      });
    }
    return { pixels, rows };
  }

  /* Least squares with known errors, after Levenberg and Marquardt. */
  function fitted(predict, start, observed, sigma) {
    const whitened = (x) => {
      const made = predict(x);
      const r = made.values.map((value, i) => (value - observed[i]) / sigma[i]);
      return { x, r, j: made.rows.map((row, i) => row.map((value) => value / sigma[i])), cost: dot(r, r) };
    };
    let best = whitened(start), damping = 1e-3;
    for (let round = 0; round < 80; round += 1) {
      const jt = turned(best.j), scale = jt.map((column) => hypot(column) || 1);
      const js = jt.map((column, n) => column.map((value) => value / scale[n]));
      const normal = js.map((one, i) => js.map((other, n) => dot(one, other) + (i === n ? damping : 0)));
      const step = solve(normal, js.map((column) => dot(column, best.r)));
      if (!step) return null;
      const trial = whitened(best.x.map((value, n) => value - step[n][0] / scale[n]));
      const small = Math.max(...step.map((one) => Math.abs(one[0]))) < 1e-7;
      if (trial.cost < best.cost) {
        const gained = best.cost - trial.cost, before = best.cost;
        best = trial; damping = Math.max(damping / 10, 1e-12);
        if (small || gained <= 1e-12 * (1e-9 + before)) break;
      } else {
        damping *= 10;
        if (small || damping > 1e10) break;
      }
    }
    const jt = turned(best.j), scale = jt.map((column) => hypot(column) || 1);
    const scaled = inverse(jt.map((one, i) => jt.map((other, n) => dot(one, other) / (scale[i] * scale[n]))));
    return scaled && { ...best, covariance: scaled.map((row, i) => row.map((value, n) => value / (scale[i] * scale[n]))) };
  }

  function outside(points, known) {
    let extent = 0, worst = 0;
    for (const a of known) for (const b of known) extent = Math.max(extent, hypot(minus(a, b)));
    for (let n = 0; n < 36; n += 1) {
      const way = [Math.cos(n * Math.PI / 36), Math.sin(n * Math.PI / 36)];
      const theirs = known.map((p) => dot(p, way)), mine = points.map((p) => dot(p, way));
      worst = Math.max(worst, Math.max(...mine) - Math.max(...theirs), Math.min(...theirs) - Math.min(...mine));
    }
    return worst / extent;
  }

  /* A length on a plane of surveyed points: known [{at [x, y, z], u [x, y, z], px}], ends two pixels. */
  function onPlane(asked, allow) {
    const { known, ends, size } = asked, pick = asked.pick || allow.pick_px;
    if (known.length < FEWEST) return refuse(`It needs ${FEWEST} known points on the plane, and has ${known.length}.`, "Pick more surveyed points on that plane.");
    const plane = flat(known), most = Math.max(...plane.off);
    const spans = [0, 1].map((c) => Math.max(...plane.at.map((p) => p[c])) - Math.min(...plane.at.map((p) => p[c])));
    if (plane.straight < STRAIGHT) return refuse("The known points lie on one line.", "Add a point well off that line.");
    if (most > 0.05 * Math.max(...spans)) return refuse(`The known points stand up to ${Math.round(most)} mm off one plane.`, "Keep to points that lie on one plane.");
    const px = known.map((one) => one.px), h = homography(plane.at, px), back = h && inverse(h);
    if (!back) return refuse("The known points lie on one line, or two of them are the same.", "Add a known point well off that line.");
    const side = ([x, y]) => Math.sign(back[2][0] * x + back[2][1] * y + back[2][2]);
    if (![...px, ...ends].every((p) => side(p) === side(px[0]))) return refuse("The plane is seen edge-on somewhere between the points.", "Look for swapped names among the picks.");
    const there = ends.map((p) => carried(back, p)), reach = outside(there, plane.at);
    if (reach > REACH) return refuse(`What is measured lies outside the known points by ${Math.round(100 * reach)} % of their extent.`, "Pick known points beyond it.");
    const k = known.length, n = 9 + 2 * (k + 2);
    const unit = (c) => { const row = new Array(n).fill(0); row[c] = 1; return row; };
    const predict = (x) => {
      const made = seen(x, size);
      return {
        values: [...made.pixels, ...x.slice(9, 9 + 2 * k), x[8]],
        rows: [...made.rows, ...plane.at.flatMap((_, i) => [unit(9 + 2 * i), unit(10 + 2 * i)]), unit(8)],
      };
    };
    const observed = [...px.flat(), ...ends.flat(), ...plane.at.flat(), 0];
    const sigma = [...new Array(2 * (k + 2)).fill(pick), ...plane.sigma.flat(), asked.bend ?? allow.bend];
    const start = [...h.flat().slice(0, 8), 0, ...plane.at.flat(), ...there.flat()];
    const best = fitted(predict, start, observed, sigma);
    if (!best) return refuse("The known points and the picks do not pin this down.", "Pick known points that are spread wider.");
    const at = 9 + 2 * k, one = best.x.slice(at, at + 2), other = best.x.slice(at + 2, at + 4);
    const apart = minus(one, other), value = hypot(apart), way = apart.map((v) => v / value);
    const slope = new Array(n).fill(0);
    [way[0], way[1], -way[0], -way[1]].forEach((v, i) => { slope[at + i] = v; });
    const plainU = Math.sqrt(dot(slope, best.covariance.map((row) => dot(row, slope))));
    const dof = observed.length - n, ratio = dof > 0 ? best.cost / dof : 0, chance = chi2Tail(best.cost, dof);
    if (ratio > 6 && chance < 1e-3) return refuse("The picks do not fit together.", "Look for swapped names, or a pick on the wrong corner.");
    const widened = chance < 0.05 && ratio > 1 ? Math.sqrt(ratio) * student(dof) : 1;
    const off = asked.offPlane ?? Math.max(most, allow.off_plane_mm);
    const fit = [[best.x[0], best.x[1], best.x[2]], [best.x[3], best.x[4], best.x[5]], [best.x[6], best.x[7], 1]];
    const terms = [plainU * widened, allow.tape * value, ...slopes(fit, [one, other], way, size).map((s) => off * s / Math.sqrt(3))];
    const result = doubted(value, hypot(terms), allow);
    return widened > 1 && result.value ? { ...result, note: "The picks fit worse than they should: look at them again." } : result;
  }

  /* How far a point that stands off the plane by 1 seems to move along `way`. */
  function slopes(h, points, way, size) {
    const focal = ORDINARY_LENS * size[0];
    let m = times([[1 / focal, 0, -size[0] / 2 / focal], [0, 1 / focal, -size[1] / 2 / focal], [0, 0, 1]], h);
    const column = (c) => m.map((row) => row[c]);
    const scale = (hypot(column(0)) + hypot(column(1))) / 2;
    m = m.map((row) => row.map((value) => value / scale));
    const [a, b, t] = [0, 1, 2].map(column), third = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
    const stood = solve(turned([a, b, third]), t).map((row) => -row[0]);
    const deep = Math.max(Math.abs(stood[2]), 1e-9);
    return points.map((p) => dot(minus(stood.slice(0, 2), p), way) / deep);
  }

  /* A known length between two surveyed points {at, u}: mm, and its error with the tape's. */
  function between(one, other, allow) {
    const away = minus(other.at, one.at), mm = hypot(away);
    const terms = away.flatMap((step, i) => [one.u[i] * step / mm, other.u[i] * step / mm]);
    return { mm, u: hypot([...terms, allow.tape * mm]) };
  }

  window.benchSums = { beside, onPlane, between, pooled, pickError, single, mean };
})();
