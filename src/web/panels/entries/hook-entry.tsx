import { useSession } from '../../app/session.js';
import { at } from '../../model/paths.js';
import { Entry } from '../entry.js';
import { ChoiceField, QuantityField, Switch } from '../fields.js';
import { notesFor } from '../notes.js';
import { type EntryProps, type Loose, textAt } from './entry-props.js';

/** The wire that holds and feeds the part. */
export function HookEntry(props: EntryProps) {
  const { document, set } = props;
  const { shelf, units } = useSession();
  const hook = at(document, ['hook']) as Loose | undefined;
  return (
    <Entry
      {...props}
      title="Hook"
      summary={
        hook
          ? `${String(hook.metal ?? 'copper')} wire, ${String(hook.diameter)}`
          : 'none: held above the liquid'
      }
      notes={notesFor(props.notes, ['hook'])}
    >
      <ChoiceField
        label="From the shelf"
        value={undefined}
        placeholder="Take one"
        options={shelf.filter((s) => s.kind === 'hook').map((s) => ({ id: s.id, label: s.name }))}
        onCommit={(id) => set(['hook'], { ...hook, ...shelf.find((s) => s.id === id)!.document })}
      />
      {hook ? (
        <div className="field-row">
          <QuantityField
            label="Wire diameter"
            value={textAt(hook, ['diameter'])}
            dimension="length"
            unit={units.length}
            help="A thick wire throws a deeper shadow where it holds the part."
            onCommit={(value) => set(['hook', 'diameter'], value)}
          />
          <Switch
            label="The wire is"
            value={hook.coated ? 'coated' : 'bare'}
            options={[
              { id: 'bare', label: 'bare' },
              { id: 'coated', label: 'coated' },
            ]}
            onChange={(v) => set(['hook', 'coated'], v === 'coated' ? true : undefined)}
          />
        </div>
      ) : null}
    </Entry>
  );
}
