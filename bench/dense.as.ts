/** Dense single-precision matrices of 1/r and n.r/r^3 for comparison with the multipoles; used by bench only. */

/** Fills rows [from, to): matrices G and H [n][n] from points x, y, z, normals nx, ny, nz as f32 [6][n]. n is a multiple of 8. */
export function fill(points: usize, n: usize, from: usize, to: usize, G: usize, H: usize): void {
  const s = n << 2;
  for (let t = from; t < to; t++) {
    const p = points + (t << 2);
    const x = v128.load_splat<f32>(p);
    const y = v128.load_splat<f32>(p + s);
    const z = v128.load_splat<f32>(p + 2 * s);
    let g = G + t * s;
    let h = H + t * s;
    for (let q = points, end = points + s; q < end; q += 16) {
      const dx = f32x4.sub(x, v128.load(q));
      const dy = f32x4.sub(y, v128.load(q + s));
      const dz = f32x4.sub(z, v128.load(q + 2 * s));
      const r2 = f32x4.add(f32x4.add(f32x4.mul(dx, dx), f32x4.mul(dy, dy)), f32x4.mul(dz, dz));
      const inv2 = v128.and(f32x4.div(f32x4.splat(1), r2), f32x4.gt(r2, f32x4.splat(0)));
      const inv = f32x4.sqrt(inv2);
      const along = f32x4.add(
        f32x4.add(f32x4.mul(dx, v128.load(q + 3 * s)), f32x4.mul(dy, v128.load(q + 4 * s))),
        f32x4.mul(dz, v128.load(q + 5 * s)),
      );
      v128.store(g, inv);
      v128.store(h, f32x4.mul(f32x4.mul(inv, inv2), along));
      g += 16;
      h += 16;
    }
  }
}

/** out [n] = G charge + H dipole, all f32. */
export function multiply(G: usize, H: usize, n: usize, charge: usize, dipole: usize, out: usize): void {
  const s = n << 2;
  for (let t: usize = 0; t < n; t++) {
    let a = f32x4.splat(0);
    let b = a;
    let c = a;
    let d = a;
    const g = G + t * s;
    const h = H + t * s;
    for (let o: usize = 0; o < s; o += 32) {
      a = f32x4.add(a, f32x4.mul(v128.load(g + o), v128.load(charge + o)));
      b = f32x4.add(b, f32x4.mul(v128.load(h + o), v128.load(dipole + o)));
      c = f32x4.add(c, f32x4.mul(v128.load(g + o, 16), v128.load(charge + o, 16)));
      d = f32x4.add(d, f32x4.mul(v128.load(h + o, 16), v128.load(dipole + o, 16)));
    }
    const v = f32x4.add(f32x4.add(a, b), f32x4.add(c, d));
    store<f32>(
      out + (t << 2),
      f32x4.extract_lane(v, 0) + f32x4.extract_lane(v, 1) + f32x4.extract_lane(v, 2) + f32x4.extract_lane(v, 3),
    );
  }
}
