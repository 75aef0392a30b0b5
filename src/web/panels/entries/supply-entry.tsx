import { useSession } from '../../app/session.js';
import { at } from '../../model/paths.js';
import { Entry } from '../entry.js';
import { ChoiceField, QuantityField } from '../fields.js';
import { notesFor } from '../notes.js';
import { type EntryProps, type Loose, textAt } from './entry-props.js';

/** What the supply can give. */
export function SupplyEntry(props: EntryProps) {
  const { document, set } = props;
  const { shelf } = useSession();
  const supply = at(document, ['supply']) as Loose | undefined;
  return (
    <Entry
      {...props}
      title="Supply"
      summary={supply ? `up to ${String(supply.maxCurrent)} and ${String(supply.maxVoltage)}` : 'not said'}
      notes={notesFor(props.notes, ['supply'])}
    >
      <ChoiceField
        label="From the shelf"
        value={undefined}
        placeholder="Take one"
        options={shelf.filter((s) => s.kind === 'supply').map((s) => ({ id: s.id, label: s.name }))}
        onCommit={(id) => set(['supply'], shelf.find((s) => s.id === id)!.document)}
      />
      <div className="field-row">
        <QuantityField
          label="Most current"
          value={textAt(supply, ['maxCurrent'])}
          dimension="current"
          unit="A"
          onCommit={(value) => set(['supply'], { maxVoltage: '30 V', ...supply, maxCurrent: value })}
        />
        <QuantityField
          label="Most volts"
          value={textAt(supply, ['maxVoltage'])}
          dimension="voltage"
          unit="V"
          onCommit={(value) => set(['supply'], { maxCurrent: '3 A', ...supply, maxVoltage: value })}
        />
      </div>
    </Entry>
  );
}
