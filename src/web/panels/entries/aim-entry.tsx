import { useSession } from '../../app/session.js';
import { Entry } from '../entry.js';
import { QuantityField } from '../fields.js';
import { notesFor } from '../notes.js';
import { type EntryProps, textAt } from './entry-props.js';

/** How thick, on how much of the surface. */
export function AimEntry(props: EntryProps) {
  const { document, set } = props;
  const { units } = useSession();
  const thickness = textAt(document, ['aim', 'thickness']);
  const share = textAt(document, ['aim', 'share']) ?? '95 %';
  return (
    <Entry
      {...props}
      title="Aim"
      summary={`at least ${thickness?.replace('um', 'µm') ?? '?'} on ${share} of the surface that counts`}
      notes={notesFor(props.notes, ['aim', 'steps'])}
    >
      <div className="field-row">
        <QuantityField
          label="Thickness, at least"
          value={thickness}
          dimension="length"
          unit={units.thickness}
          help="Indoor pieces 5 to 10 µm, worn daily 15 µm and more; a wall built up to be sanded back needs twice the scratch."
          onCommit={(value) => set(['aim', 'thickness'], value)}
        />
        <QuantityField
          label="On this share of the surface"
          value={share}
          dimension="fraction"
          unit="%"
          onCommit={(value) => set(['aim', 'share'], value)}
        />
      </div>
    </Entry>
  );
}
