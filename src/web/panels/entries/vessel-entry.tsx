import { useSession } from '../../app/session.js';
import { at } from '../../model/paths.js';
import { Entry } from '../entry.js';
import { ChoiceField, QuantityField, Switch } from '../fields.js';
import { notesFor } from '../notes.js';
import { type EntryProps, type Loose, textAt } from './entry-props.js';

/** The vessel by its inside measures, and how full it is. */
export function VesselEntry(props: EntryProps) {
  const { document, set } = props;
  const { shelf, units } = useSession();
  const vessel = (at(document, ['vessel']) ?? {}) as Loose;
  const round = vessel.kind !== 'box-tank';
  const size = round
    ? `${String(vessel.diameter)} across`
    : `${String(vessel.length)} x ${String(vessel.width)}`;
  const liquid = vessel.depth
    ? `liquid ${String(vessel.depth)} deep`
    : `${String(vessel.volume ?? '?')} of liquid`;
  return (
    <Entry
      {...props}
      title="Vessel"
      summary={`${String(vessel.kind ?? '?').replace('-', ' ')}, ${size}, ${liquid}`}
      notes={notesFor(props.notes, ['vessel'])}
    >
      <ChoiceField
        label="From the shelf"
        value={undefined}
        options={shelf.filter((s) => s.kind === 'vessel').map((s) => ({ id: s.id, label: s.name }))}
        placeholder="Take one"
        onCommit={(id) => {
          const taken = shelf.find((s) => s.id === id)!.document;
          set(['vessel'], {
            ...taken,
            ...(vessel.volume ? { volume: vessel.volume } : { depth: vessel.depth }),
          });
        }}
      />
      <div className="field-row">
        {(round
          ? [['diameter', 'Inside diameter'] as const, ['height', 'Inside height'] as const]
          : [['length', 'Length'] as const, ['width', 'Width'] as const, ['height', 'Height'] as const]
        ).map(([key, label]) => (
          <QuantityField
            key={key}
            label={label}
            value={textAt(vessel, [key])}
            dimension="length"
            unit={units.length}
            onCommit={(value) => set(['vessel', key], value)}
          />
        ))}
        {vessel.volume === undefined ? (
          <QuantityField
            label="Depth of the liquid"
            value={textAt(vessel, ['depth'])}
            dimension="length"
            unit={units.length}
            onCommit={(value) => set(['vessel', 'depth'], value)}
          />
        ) : (
          <QuantityField
            label="Liquid"
            value={textAt(vessel, ['volume'])}
            dimension="volume"
            unit="mL"
            onCommit={(value) => set(['vessel', 'volume'], value)}
          />
        )}
      </div>
      <Switch
        label="The liquid is given by"
        value={vessel.volume === undefined ? 'depth' : 'volume'}
        options={[
          { id: 'depth', label: 'depth' },
          { id: 'volume', label: 'volume' },
        ]}
        onChange={(by) => {
          const { depth, volume, ...rest } = vessel;
          set(
            ['vessel'],
            by === 'depth' ? { ...rest, depth: depth ?? '80 mm' } : { ...rest, volume: volume ?? '400 mL' },
          );
        }}
      />
    </Entry>
  );
}
