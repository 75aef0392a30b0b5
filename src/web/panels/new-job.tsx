import { useState } from 'react';
import { Button } from 'react-aria-components';
import { parseQuantity } from '../../units/index.js';
import { book, type JobData } from '../app/book.js';
import { go } from '../app/route.js';
import { useSession } from '../app/session.js';
import { arrange } from '../model/arrange.js';
import { sizeOf, turnFor } from '../model/hang.js';
import { SHAPE_FORMS, startShape } from '../model/shape-forms.js';
import { ChoiceField, QuantityField, Switch } from './fields.js';
import { Notes } from './notes.js';
import { type ChosenFile, PartUpload } from './part-upload.js';
import { ShapeFields } from './shape-fields.js';

/** Three questions, and the set-up arranges itself: everything can be changed afterwards. */
export function NewJob() {
  const { choices, shelf, units } = useSession();
  const [from, setFrom] = useState<'shape' | 'file'>('shape');
  const [shape, setShape] = useState<Record<string, unknown>>(() => startShape(SHAPE_FORMS[0]!));
  const [file, setFile] = useState<ChosenFile>();
  const [substrate, setSubstrate] = useState('brass');
  const [record, setRecord] = useState('watts-nickel');
  const [thickness, setThickness] = useState('10 um');
  const [trouble, setTrouble] = useState('');
  const bath = choices.baths.find((b) => b.id === record);

  const make = async () => {
    setTrouble('');
    if (from === 'file' && !file)
      return setTrouble('Take a part file first, or describe the part as a shape.');
    if (bath?.refused) return setTrouble(`${bath.name}: ${bath.refused.reason} Who can: ${bath.refused.who}`);
    const turn = from === 'shape' ? turnFor(shape) : undefined;
    const size = from === 'file' ? file!.report.size : sizeOf(shape);
    const metal = bath?.anodeMetals[0] ?? 'Ni';
    const name = choices.metals[metal] ?? metal;
    const placed = size && arrange(size, name, shelf);
    if (!placed)
      return setTrouble('No vessel on the shelf is big enough for this part. Put a larger one on the shelf.');
    const { position, ...rest } = placed;
    const document: JobData = {
      platewright: 1,
      name: from === 'file' ? file!.part.name : SHAPE_FORMS.find((f) => f.kind === shape.kind)!.label,
      part: {
        solid:
          from === 'file'
            ? { file: `parts/${file!.part.id}/${file!.part.fileName}`, unit: file!.unit }
            : { shape },
        substrate,
        position,
        ...(turn ? { turn } : {}),
      },
      hook: { diameter: '0.8 mm', metal: 'copper' },
      ...rest,
      bath: { record },
      supply: shelf.find((s) => s.kind === 'supply')?.document ?? { maxCurrent: '3 A', maxVoltage: '30 V' },
      aim: { thickness },
    };
    const made = await book.createJob(document).catch((error: Error) => setTrouble(error.message));
    if (made) go(`/job/${made.id}`);
  };

  return (
    <main className="page new">
      <h1>New job</h1>
      <section className="question">
        <h2>What is the part?</h2>
        <Switch
          label="The part comes"
          value={from}
          options={[
            { id: 'shape', label: 'as a shape' },
            { id: 'file', label: 'as a file' },
          ]}
          onChange={(v) => setFrom(v as 'shape' | 'file')}
        />
        {from === 'file' ? (
          <PartUpload chosen={file} onChosen={setFile} />
        ) : (
          <ShapeFields shape={shape} unit={units.length} onChange={setShape} />
        )}
        <ChoiceField
          label="Made of"
          value={substrate}
          options={choices.substrates.map((s) => ({ id: s.id, label: s.name }))}
          onCommit={setSubstrate}
        />
      </section>
      <section className="question">
        <h2>Which bath?</h2>
        <ChoiceField
          label="Bath"
          value={record}
          options={choices.baths.map((b) => ({
            id: b.id,
            label: b.name,
            note: b.refused ? 'No help with this one: choose it to read why.' : b.use,
          }))}
          onCommit={setRecord}
        />
      </section>
      <section className="question">
        <h2>How thick?</h2>
        <QuantityField
          label="Thickness, at least"
          value={thickness}
          dimension="length"
          unit={units.thickness}
          help="Indoor pieces 5 to 10 µm, worn daily 15 µm and more."
          onCommit={(v) => v && parseQuantity(v, 'length').ok && setThickness(v)}
        />
      </section>
      {trouble ? <Notes notes={[{ code: 'new-job', path: '', message: trouble, severity: 'stop' }]} /> : null}
      <Button className="button button-main" onPress={() => void make()}>
        Hang it in a bath
      </Button>
      <p className="field-help">
        A vessel, a hook and two anodes are chosen from the shelf; change any of them on the next page.
      </p>
    </main>
  );
}
