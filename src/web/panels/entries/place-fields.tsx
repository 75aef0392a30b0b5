import { useSession } from '../../app/session.js';
import { at, type Path } from '../../model/paths.js';
import { QuantityField } from '../fields.js';
import { type EntryProps, textAt } from './entry-props.js';

/** Three lengths of a position, and turns about the body's own axes. */
export function PlaceFields({ document, set, path }: Pick<EntryProps, 'document' | 'set'> & { path: Path }) {
  const { units } = useSession();
  const names = ['to the right', 'to the back', 'above the floor'];
  return (
    <fieldset className="group">
      <legend>Where its middle hangs</legend>
      <div className="field-row">
        {names.map((name, k) => (
          <QuantityField
            key={name}
            label={name}
            value={textAt(document, [...path, 'position', k])}
            dimension="length"
            unit={units.length}
            onCommit={(value) => set([...path, 'position', k], value)}
          />
        ))}
      </div>
      <div className="field-row">
        {['x', 'y', 'z'].map((axis, k) => (
          <QuantityField
            key={axis}
            label={`turned about ${axis}`}
            value={textAt(document, [...path, 'turn', k]) ?? '0 deg'}
            dimension="angle"
            unit="deg"
            onCommit={(value) => {
              const turn = (at(document, [...path, 'turn']) as string[] | undefined) ?? [
                '0 deg',
                '0 deg',
                '0 deg',
              ];
              set(
                [...path, 'turn'],
                turn.map((t, i) => (i === k ? value : t)),
              );
            }}
          />
        ))}
      </div>
    </fieldset>
  );
}
