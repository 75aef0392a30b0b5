/** Share of area by thickness: what the histogram draws. Pure. */
export interface HistogramBar {
  /** Thickness range [m]. */
  low: number;
  high: number;
  /** Share of the area in [0, 1]. */
  share: number;
}

/** The part of a forecast map that is needed here. */
export interface ThicknessMap {
  positions: ArrayLike<number>;
  triangles: ArrayLike<number>;
  thickness: ArrayLike<number>;
  significant: ArrayLike<number>;
}

/**
 * Area of the significant surface by thickness, in `count` bars from zero to `top` [m]; the last bar takes all above.
 * Each triangle spreads its area over the bars between its thinnest and thickest corner, so coarse meshes stay smooth.
 */
export function histogram(map: ThicknessMap, top: number, count: number): HistogramBar[] {
  const width = top / count;
  const sums = new Float64Array(count);
  let total = 0;
  const last = count - 1;
  for (let t = 0; t < map.triangles.length; t += 3) {
    if (!map.significant[t / 3]) continue;
    const corners = [map.triangles[t]!, map.triangles[t + 1]!, map.triangles[t + 2]!] as const;
    const area = triangleArea(map.positions, corners);
    total += area;
    const values = corners.map((v) => map.thickness[v]!);
    const [low, high] = [Math.min(...values), Math.max(...values)];
    const from = Math.min(last, Math.max(0, Math.floor(low / width)));
    const to = Math.min(last, Math.max(0, Math.floor(high / width)));
    if (from === to) {
      sums[from]! += area;
      continue;
    }
    for (let bar = from; bar <= to; bar++) {
      const start = bar === from ? low : bar * width;
      const end = bar === to ? high : (bar + 1) * width;
      sums[bar]! += (area * (end - start)) / (high - low);
    }
  }
  return Array.from(sums, (sum, i) => ({
    low: i * width,
    high: i === last ? Infinity : (i + 1) * width,
    share: total > 0 ? sum / total : 0,
  }));
}

function triangleArea(p: ArrayLike<number>, [a, b, c]: readonly [number, number, number]): number {
  const u = [0, 1, 2].map((k) => p[3 * b + k]! - p[3 * a + k]!) as [number, number, number];
  const v = [0, 1, 2].map((k) => p[3 * c + k]! - p[3 * a + k]!) as [number, number, number];
  return Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]) / 2;
}

/** Share of the area that meets a thickness, from the bars; exact at bar edges, linear within a bar. */
export function shareAbove(bars: HistogramBar[], thickness: number): number {
  let sum = 0;
  for (const { low, high, share } of bars) {
    if (low >= thickness) sum += share;
    else if (high > thickness && Number.isFinite(high)) sum += (share * (high - thickness)) / (high - low);
    else if (high > thickness) sum += share;
  }
  return sum;
}
