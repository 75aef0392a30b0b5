/** Where the drawn eye stands: turned about the vertical, and raised above the horizon [rad]. */
export interface View {
  azimuth: number;
  elevation: number;
}

export const THREE_QUARTER: View = { azimuth: -0.6, elevation: 0.45 };

/** Parallel projection: x right, y up the page, depth toward the eye; same length unit as the input. */
export function project(positions: ArrayLike<number>, view: View): Float64Array {
  const [ca, sa] = [Math.cos(view.azimuth), Math.sin(view.azimuth)];
  const [ce, se] = [Math.cos(view.elevation), Math.sin(view.elevation)];
  const out = new Float64Array(positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    const [x, y, z] = [positions[i]!, positions[i + 1]!, positions[i + 2]!];
    const right = ca * x + sa * y;
    const away = -sa * x + ca * y;
    out[i] = right;
    out[i + 1] = ce * z + se * away;
    out[i + 2] = se * z - ce * away;
  }
  return out;
}

export interface Box {
  minX: number;
  minY: number;
  maxX: number;
  maxY: number;
}

/** Bounds of projected points. */
export function bounds(...sets: Float64Array[]): Box {
  const box = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
  for (const points of sets)
    for (let i = 0; i < points.length; i += 3) {
      box.minX = Math.min(box.minX, points[i]!);
      box.maxX = Math.max(box.maxX, points[i]!);
      box.minY = Math.min(box.minY, points[i + 1]!);
      box.maxY = Math.max(box.maxY, points[i + 1]!);
    }
  return box;
}

/** From projected lengths to millimetres on the page: `[x, y]` with y down, scaled to fit and centred. */
export function fitted(box: Box, width: number, height: number, margin: number) {
  const scale = Math.min(
    (width - 2 * margin) / Math.max(box.maxX - box.minX, 1e-12),
    (height - 2 * margin) / Math.max(box.maxY - box.minY, 1e-12),
  );
  const cx = (box.minX + box.maxX) / 2;
  const cy = (box.minY + box.maxY) / 2;
  return {
    scale,
    x: (u: number) => width / 2 + (u - cx) * scale,
    y: (v: number) => height / 2 - (v - cy) * scale,
  };
}
