import { Button } from 'react-aria-components';
import { useSession } from '../../app/session.js';
import { at } from '../../model/paths.js';
import { Entry } from '../entry.js';
import { ChoiceField, QuantityField } from '../fields.js';
import { notesFor } from '../notes.js';
import { type EntryProps, type Loose, textAt } from './entry-props.js';
import { PlaceFields } from './place-fields.js';

/** The anodes: size, place, and more from the shelf. */
export function AnodesEntry(props: EntryProps) {
  const { document, set } = props;
  const { shelf, units } = useSession();
  const anodes = (at(document, ['anodes']) as Loose[] | undefined) ?? [];
  const metals = [...new Set(anodes.map((a) => String(a.metal)))].join(', ');
  return (
    <Entry
      {...props}
      title="Anodes"
      summary={`${anodes.length === 1 ? 'one' : anodes.length} of ${metals || '?'}`}
      notes={notesFor(props.notes, ['anodes'])}
    >
      {anodes.map((anode, i) => {
        const shape = at(anode, ['solid', 'shape']) as Loose | undefined;
        const name = String(anode.name ?? `anode ${i + 1}`);
        return (
          <fieldset key={name} className="group">
            <legend>{name}</legend>
            {shape?.kind === 'box' ? (
              <div className="field-row">
                {(
                  [
                    ['x', 'Width'],
                    ['y', 'Thickness'],
                    ['z', 'Length'],
                  ] as const
                ).map(([key, label]) => (
                  <QuantityField
                    key={key}
                    label={label}
                    value={textAt(shape, [key])}
                    dimension="length"
                    unit={units.length}
                    onCommit={(value) => set(['anodes', i, 'solid', 'shape', key], value)}
                  />
                ))}
              </div>
            ) : null}
            <PlaceFields {...props} path={['anodes', i]} />
            {anodes.length > 1 ? (
              <Button className="button button-quiet" onPress={() => set(['anodes', i], undefined)}>
                Take {name} out
              </Button>
            ) : null}
          </fieldset>
        );
      })}
      <ChoiceField
        label="Add one from the shelf"
        value={undefined}
        placeholder="Take one"
        options={shelf.filter((s) => s.kind === 'anode').map((s) => ({ id: s.id, label: s.name }))}
        onCommit={(id) => {
          const taken = shelf.find((s) => s.id === id)!.document;
          const radius = String(
            at(document, ['vessel', 'diameter']) ?? at(document, ['vessel', 'width']) ?? '80 mm',
          );
          const side = `${(Number.parseFloat(radius) / 2 - 8).toFixed(0)} mm`;
          const position = [anodes.length % 2 ? `-${side}` : side, '0 mm', '82 mm'];
          const turn = ['0 deg', '0 deg', '90 deg'];
          set(['anodes', anodes.length], { ...taken, name: `anode ${anodes.length + 1}`, position, turn });
        }}
      />
    </Entry>
  );
}
