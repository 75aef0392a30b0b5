import { useState } from 'react';
import { useSession } from '../../app/session.js';
import { at } from '../../model/paths.js';
import { shapeForm } from '../../model/shape-forms.js';
import { Entry } from '../entry.js';
import { ChoiceField, Switch } from '../fields.js';
import { notesFor } from '../notes.js';
import { type ChosenFile, PartUpload } from '../part-upload.js';
import { ShapeFields } from '../shape-fields.js';
import { type EntryProps, type Loose, textAt } from './entry-props.js';
import { PlaceFields } from './place-fields.js';

/** What the part is, what it is made of, and how it hangs. */
export function PartEntry(props: EntryProps) {
  const { document, set } = props;
  const { choices, units } = useSession();
  const solid = at(document, ['part', 'solid']) as
    | { shape?: Loose; file?: string; unit?: string }
    | undefined;
  const [from, setFrom] = useState<'shape' | 'file'>(solid?.file ? 'file' : 'shape');
  const [chosen, setChosen] = useState<ChosenFile>();
  const form = shapeForm(solid?.shape?.kind);
  const substrate = textAt(document, ['part', 'substrate']);
  const named = choices.substrates.find((s) => s.id === substrate)?.name ?? substrate;
  const first = solid?.shape
    ? Object.values(solid.shape).find((v) => typeof v === 'string' && /\d/.test(v))
    : undefined;
  const what = solid?.file
    ? solid.file.split('/').pop()
    : `${form?.label ?? String(solid?.shape?.kind ?? '')}, ${String(first ?? '')}`;
  return (
    <Entry
      {...props}
      title="Part"
      summary={`${what}, ${named?.replace(/^[A-Z](?=[a-z])/, (c) => c.toLowerCase()) ?? 'metal unknown'}`}
      notes={notesFor(props.notes, ['part', 'substrate'])}
    >
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
        <PartUpload
          chosen={chosen}
          onChosen={(file) => {
            setChosen(file);
            set(['part', 'solid'], { file: `parts/${file.part.id}/${file.part.fileName}`, unit: file.unit });
          }}
        />
      ) : (
        <ShapeFields
          shape={solid?.shape ?? {}}
          unit={units.length}
          onChange={(shape) => set(['part', 'solid'], { shape })}
        />
      )}
      <ChoiceField
        label="Made of"
        value={choices.substrates.some((s) => s.id === substrate) ? substrate : undefined}
        options={choices.substrates.map((s) => ({ id: s.id, label: s.name }))}
        placeholder={substrate ?? 'Choose'}
        help="Not sure? A magnet, the colour of a fresh scratch and its weight in water tell most metals apart."
        onCommit={(id) => set(['part', 'substrate'], id)}
      />
      <PlaceFields {...props} path={['part']} />
    </Entry>
  );
}
