/** A point of a curved panel, x_s cross x_t there: what `evaluate` found last. Every thread has its own. */
export let px: f64 = 0;
export let py: f64 = 0;
export let pz: f64 = 0;
export let nx: f64 = 0;
export let ny: f64 = 0;
export let nz: f64 = 0;

// @ts-ignore: decorator
@inline
function place(c: usize, s: f64, t: f64): f64 {
  return (
    load<f64>(c) + s * (load<f64>(c, 24) + s * load<f64>(c, 72) + t * load<f64>(c, 96)) +
    t * (load<f64>(c, 48) + t * load<f64>(c, 120))
  );
}

// @ts-ignore: decorator
@inline
function alongS(c: usize, s: f64, t: f64): f64 {
  return load<f64>(c, 24) + 2 * s * load<f64>(c, 72) + t * load<f64>(c, 96);
}

// @ts-ignore: decorator
@inline
function alongT(c: usize, s: f64, t: f64): f64 {
  return load<f64>(c, 48) + s * load<f64>(c, 96) + 2 * t * load<f64>(c, 120);
}

/** The point alone; `c` is the address of the panel's 18 coefficients. */
export function locate(c: usize, s: f64, t: f64): void {
  px = place(c, s, t);
  py = place(c + 8, s, t);
  pz = place(c + 16, s, t);
}

export function evaluate(c: usize, s: f64, t: f64): void {
  locate(c, s, t);
  const ax = alongS(c, s, t);
  const ay = alongS(c + 8, s, t);
  const az = alongS(c + 16, s, t);
  const bx = alongT(c, s, t);
  const by = alongT(c + 8, s, t);
  const bz = alongT(c + 16, s, t);
  nx = ay * bz - az * by;
  ny = az * bx - ax * bz;
  nz = ax * by - ay * bx;
}
