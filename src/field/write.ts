import type { PanelSurface } from '../geometry/index.js';
import type { FieldResult } from './problem.js';

/** Area means over each panel, in the order of the surface. */
export function panelMeans(
  result: FieldResult,
  panelCount: number,
): { current: Float64Array; potential: Float64Array } {
  const { panel, weight, currentDensity, potential, count } = result.nodes;
  const area = new Float64Array(panelCount);
  const current = new Float64Array(panelCount);
  const mean = new Float64Array(panelCount);
  for (let i = 0; i < count; i++) {
    area[panel[i]] += weight[i];
    current[panel[i]] += weight[i] * currentDensity[i];
    mean[panel[i]] += weight[i] * potential[i];
  }
  for (let p = 0; p < panelCount; p++) {
    current[p] /= area[p] || 1;
    mean[p] /= area[p] || 1;
  }
  return { current, potential: mean };
}

/** VTK XML unstructured grid of the (curved) panels, ASCII: current density, potential and patch number per cell. */
export function panelsVtu(surface: PanelSurface, result: FieldResult): string {
  const count = surface.patch.length;
  const { current, potential } = panelMeans(result, count);
  const array = (type: string, name: string, components: number, values: ArrayLike<number>): string =>
    `<DataArray type="${type}" Name="${name}" NumberOfComponents="${components}" format="ascii">${rows(values, Math.max(components, 6))}</DataArray>`;
  return `<?xml version="1.0"?>
<VTKFile type="UnstructuredGrid" version="0.1" byte_order="LittleEndian">
<UnstructuredGrid><Piece NumberOfPoints="${surface.nodes.length / 3}" NumberOfCells="${count}">
<Points>${array('Float64', 'position', 3, surface.nodes)}</Points>
<Cells>
${array('Int32', 'connectivity', 1, surface.panels)}
${array(
  'Int32',
  'offsets',
  1,
  Int32Array.from({ length: count }, (_, i) => 6 * (i + 1)),
)}
${array('UInt8', 'types', 1, new Uint8Array(count).fill(22))}
</Cells>
<CellData Scalars="currentDensity">
${array('Float64', 'currentDensity', 1, current)}
${array('Float64', 'potential', 1, potential)}
${array('Int32', 'patch', 1, surface.patch)}
</CellData>
</Piece></UnstructuredGrid></VTKFile>
`;
}

/** PLY (ASCII) of the panels through their corners, with the same values per face. */
export function panelsPly(surface: PanelSurface, result: FieldResult): string {
  const count = surface.patch.length;
  const { current, potential } = panelMeans(result, count);
  const faces = Array.from({ length: count }, (_, p) => {
    const [a, b, c] = surface.panels.subarray(6 * p, 6 * p + 3);
    return `3 ${a} ${b} ${c} ${print(current[p])} ${print(potential[p])} ${surface.patch[p]}`;
  });
  return `ply
format ascii 1.0
comment metres, A/m2 from metal into solution, V; patches: ${surface.patchNames.join(', ').replace(/[\r\n]/g, ' ')}
element vertex ${surface.nodes.length / 3}
property double x
property double y
property double z
element face ${count}
property list uchar int vertex_indices
property double currentDensity
property double potential
property int patch
end_header
${rows(surface.nodes, 3).trim()}
${faces.join('\n')}
`;
}

const print = (v: number): string => Number(v.toPrecision(9)).toString();

function rows(values: ArrayLike<number>, perRow: number): string {
  const out: string[] = [];
  for (let i = 0; i < values.length; i += perRow) {
    const row: string[] = [];
    for (let k = i; k < Math.min(i + perRow, values.length); k++) row.push(print(values[k]));
    out.push(row.join(' '));
  }
  return `\n${out.join('\n')}\n`;
}
