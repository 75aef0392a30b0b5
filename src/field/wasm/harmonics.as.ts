import { MAX_ORDER } from './layout';

const ROW: usize = (MAX_ORDER + 2) * 8;

/**
 * Regular solid harmonics at four points, B_k up to degree `order`, as vectors at `out`.
 * k = l^2 for m = 0, l^2 + 2m - 1 and l^2 + 2m for the cosine and sine of m > 0.
 */
export function regular(table: usize, order: i32, x: v128, y: v128, z: v128, out: usize): void {
  const r2 = f32x4.add(f32x4.add(f32x4.mul(x, x), f32x4.mul(y, y)), f32x4.mul(z, z));
  const zero = f32x4.splat(0);
  let a = f32x4.splat(1);
  v128.store(out, a);
  let before = zero;
  for (let l = 1; l <= order; l++) {
    const f = table + (<usize>l << 3);
    const next = f32x4.sub(
      f32x4.mul(v128.load_splat<f32>(f), f32x4.mul(z, a)),
      f32x4.mul(v128.load_splat<f32>(f, 4), f32x4.mul(r2, before)),
    );
    before = a;
    a = next;
    v128.store(out + (<usize>(l * l) << 4), a);
  }
  let top = f32x4.splat(1);
  let side = zero;
  for (let m = 1; m <= order; m++) {
    const row = table + <usize>m * ROW;
    const f = v128.load_splat<f32>(row + (<usize>m << 3));
    const c = f32x4.mul(f, f32x4.sub(f32x4.mul(x, top), f32x4.mul(y, side)));
    side = f32x4.mul(f, f32x4.add(f32x4.mul(x, side), f32x4.mul(y, top)));
    top = c;
    let at = out + (<usize>(m * m + 2 * m - 1) << 4);
    v128.store(at, top);
    v128.store(at, side, 16);
    let c1 = top;
    let s1 = side;
    let c0 = zero;
    let s0 = zero;
    for (let l = m + 1; l <= order; l++) {
      const g = row + (<usize>l << 3);
      const az = f32x4.mul(v128.load_splat<f32>(g), z);
      const br = f32x4.mul(v128.load_splat<f32>(g, 4), r2);
      const c2 = f32x4.sub(f32x4.mul(az, c1), f32x4.mul(br, c0));
      const s2 = f32x4.sub(f32x4.mul(az, s1), f32x4.mul(br, s0));
      c0 = c1;
      s0 = s1;
      c1 = c2;
      s1 = s2;
      at = out + (<usize>(l * l + 2 * m - 1) << 4);
      v128.store(at, c1);
      v128.store(at, s1, 16);
    }
  }
}

/** Sum of the four lanes. */
// @ts-ignore: decorator
@inline
export function across(v: v128): f32 {
  return (
    f32x4.extract_lane(v, 0) + f32x4.extract_lane(v, 1) + (f32x4.extract_lane(v, 2) + f32x4.extract_lane(v, 3))
  );
}

/** (four numbers at `at`, double precision, minus `origin`) times `factor`, as single precision. */
// @ts-ignore: decorator
@inline
export function offset4(at: usize, origin: v128, factor: v128): v128 {
  return v128.shuffle<f32>(
    f32x4.demote_f64x2_zero(f64x2.mul(f64x2.sub(v128.load(at), origin), factor)),
    f32x4.demote_f64x2_zero(f64x2.mul(f64x2.sub(v128.load(at, 16), origin), factor)),
    0, 1, 4, 5,
  );
}
