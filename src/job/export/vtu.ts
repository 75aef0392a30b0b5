import type { PartMap } from '../result.js';

/** The thickness map as a VTK XML unstructured grid of triangles, ASCII, with one value a point. Metres, A/m2. */
export function mapVtu(map: PartMap): string {
  const points = map.positions.length / 3;
  const cells = map.triangles.length / 3;
  const array = (type: string, name: string, components: number, values: ArrayLike<number>): string =>
    `<DataArray type="${type}" Name="${name}" NumberOfComponents="${components}" format="ascii">\n${lines(values, Math.max(6, components))}\n</DataArray>`;
  return `<?xml version="1.0"?>
<VTKFile type="UnstructuredGrid" version="0.1" byte_order="LittleEndian">
<UnstructuredGrid><Piece NumberOfPoints="${points}" NumberOfCells="${cells}">
<Points>${array('Float32', 'position', 3, map.positions)}</Points>
<Cells>
${array('Int32', 'connectivity', 1, map.triangles)}
${array(
  'Int32',
  'offsets',
  1,
  Int32Array.from({ length: cells }, (_, t) => 3 * (t + 1)),
)}
${array('UInt8', 'types', 1, new Uint8Array(cells).fill(5))}
</Cells>
<PointData Scalars="thickness">
${array('Float32', 'thickness', 1, map.thickness)}
${array('Float32', 'currentDensity', 1, map.currentDensity)}
${array('Float32', 'efficiency', 1, map.efficiency)}
${array('Float32', 'limitFraction', 1, map.limitFraction)}
</PointData>
<CellData>
${array('UInt8', 'significant', 1, map.significant)}
</CellData>
</Piece></UnstructuredGrid></VTKFile>
`;
}

function lines(values: ArrayLike<number>, across: number): string {
  const out: string[] = [];
  for (let i = 0; i < values.length; i += across)
    out.push(
      Array.from({ length: Math.min(across, values.length - i) }, (_, k) => String(values[i + k])).join(' '),
    );
  return out.join('\n');
}
