import { useSession } from '../../app/session.js';
import { at, put } from '../../model/paths.js';
import { Entry } from '../entry.js';
import { ChoiceField, QuantityField } from '../fields.js';
import { notesFor } from '../notes.js';
import { type EntryProps, type Loose, textAt } from './entry-props.js';

/** Which bath, how warm and how stirred; anodes follow its metal. */
export function BathEntry(props: EntryProps) {
  const { document, set } = props;
  const { choices, units } = useSession();
  const record = textAt(document, ['bath', 'record']);
  const bath = choices.baths.find((b) => b.id === record);
  const temperature = textAt(document, ['bath', 'temperature']);
  const usual = bath?.temperature?.printed.replace(' - ', '–\u2060').replace(/ C$/, ' °C');
  const shown = temperature ?? (usual && `${usual} as usual`);
  return (
    <Entry
      {...props}
      title="Bath"
      summary={[bath?.name ?? record, shown].filter(Boolean).join(', ')}
      notes={notesFor(props.notes, ['bath'])}
    >
      <ChoiceField
        label="Bath"
        value={bath?.id}
        options={choices.baths.map((b) => ({
          id: b.id,
          label: b.name,
          note: b.refused ? 'No help with this one: choose it to read why.' : b.use,
        }))}
        placeholder={record ?? 'Choose'}
        onCommit={(id) => {
          const metal = choices.baths.find((b) => b.id === id)?.anodeMetals[0];
          const name = metal === undefined ? undefined : (choices.metals[metal] ?? metal);
          props.edit((d) => {
            const anodes = (at(d, ['anodes']) as Loose[] | undefined) ?? [];
            const next = put(d, ['bath'], { record: id });
            return name === undefined
              ? next
              : put(
                  next,
                  ['anodes'],
                  anodes.map((a) => ({ ...a, metal: name })),
                );
          });
        }}
      />
      <div className="field-row">
        <QuantityField
          label="Temperature"
          value={temperature}
          dimension="temperature"
          unit={units.temperature}
          optional
          placeholder={bath?.temperature?.printed ?? ''}
          onCommit={(value) => set(['bath', 'temperature'], value)}
        />
        <ChoiceField
          label="Stirring"
          value={textAt(document, ['bath', 'agitation'])}
          placeholder="as usual for this bath"
          options={[
            { id: 'still', label: 'still' },
            { id: 'gentle', label: 'gentle, or moved by hand' },
            { id: 'stirred', label: 'stirred' },
            { id: 'pumped', label: 'pumped' },
          ]}
          onCommit={(id) => set(['bath', 'agitation'], id)}
        />
      </div>
      <div className="field-row">
        <QuantityField
          label="Metal in it, if you know better"
          value={textAt(document, ['bath', 'metal'])}
          dimension="massConcentration"
          unit="g/L"
          optional
          onCommit={(value) => set(['bath', 'metal'], value)}
        />
        <QuantityField
          label="Conductivity, if measured"
          value={textAt(document, ['bath', 'conductivity'])}
          dimension="conductivity"
          unit="mS/cm"
          optional
          onCommit={(value) => set(['bath', 'conductivity'], value)}
        />
      </div>
    </Entry>
  );
}
