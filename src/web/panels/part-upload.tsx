import { useState } from 'react';
import { Button, FileTrigger } from 'react-aria-components';
import { given } from '../../job/index.js';
import type { Problem } from '../../units/index.js';
import { BookError, book, type Part } from '../app/book.js';
import { useSession } from '../app/session.js';
import type { PartReport } from '../engine/index.js';
import { Switch } from './fields.js';
import { Notes } from './notes.js';

const ENDINGS = ['.stl', '.obj', '.ply', '.glb', '.gltf', '.3mf'];
type Unit = 'mm' | 'cm' | 'm' | 'in';

export interface ChosenFile {
  part: Part;
  report: PartReport;
  unit: Unit;
}

/** Brings a part file into the book: reads it here, shows what was found and repaired, and lets the unit be corrected. */
export function PartUpload(props: { chosen: ChosenFile | undefined; onChosen(file: ChosenFile): void }) {
  const { engine, units } = useSession();
  const [busy, setBusy] = useState('');
  const [problems, setProblems] = useState<Problem[]>([]);

  const read = async (file: File) => {
    setProblems([]);
    setBusy(`Reading ${file.name}`);
    try {
      const bytes = await file.arrayBuffer();
      const found = await engine.read({ name: file.name, bytes }, (p) =>
        setBusy(`${p.stage}, ${Math.round(p.fraction * 100)} %`),
      );
      if (!found.ok) return setProblems(found.problems);
      const unit = found.value.unit.unit as Unit;
      const name = file.name.replace(/\.[^.]+$/, '');
      const part = await book.addPart(name, file.name, unit, bytes);
      await book.changePart(part.id, { report: found.value });
      props.onChosen({ part, report: found.value, unit });
    } catch (error) {
      setProblems(
        error instanceof BookError && error.problems.length
          ? error.problems
          : [{ code: 'not-read', path: '', message: `${file.name} could not be read.` }],
      );
    } finally {
      setBusy('');
    }
  };

  const reread = async (unit: Unit) => {
    const { chosen } = props;
    if (!chosen) return;
    const bytes = await book.partBytes(chosen.part.id);
    const found = await engine.read({ name: chosen.part.fileName, bytes, unit });
    if (!found.ok) return setProblems(found.problems);
    await book.changePart(chosen.part.id, { unit, report: found.value });
    props.onChosen({ part: chosen.part, report: found.value, unit });
  };

  const { chosen } = props;
  return (
    <div className="upload">
      <FileTrigger
        acceptedFileTypes={ENDINGS}
        onSelect={(files) => {
          const file = files?.[0];
          if (file) void read(file);
        }}
      >
        <Button className="button">{chosen ? 'Take another file' : 'Take a part file'}</Button>
      </FileTrigger>
      <p className="field-help">STL, OBJ, PLY, GLB, glTF or 3MF. It stays on this machine.</p>
      <p role="status" className="field-help">
        {busy}
      </p>
      <Notes notes={problems.map((p) => ({ ...p, severity: 'stop' }))} />
      {chosen ? (
        <div className="report">
          <p>
            <strong>{chosen.part.fileName}</strong>: {chosen.report.triangles.toLocaleString('en')} triangles,{' '}
            {given(chosen.report.area, units.area, 'area')} of surface,{' '}
            {chosen.report.size.map((s) => given(s, units.length, 'length')).join(' x ')}.
          </p>
          <p>
            {chosen.report.repairs.length === 0
              ? 'Nothing needed repair.'
              : `Repaired: ${chosen.report.repairs.map((r) => `${r.kind.replaceAll('-', ' ')} (${r.count})`).join(', ')}.`}{' '}
            {chosen.report.closed ? 'The surface is closed.' : 'The surface is open.'}
          </p>
          <Switch
            label="One number of the file is"
            value={chosen.unit}
            options={(['mm', 'cm', 'm', 'in'] as const).map((u) => ({ id: u, label: u }))}
            onChange={(unit) => void reread(unit)}
          />
          <p className="field-help">{chosen.report.unit.reason}</p>
          <Notes notes={chosen.report.warnings.map((p) => ({ ...p, severity: 'warning' }))} />
        </div>
      ) : null}
    </div>
  );
}
