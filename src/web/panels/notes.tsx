import type { Problem } from '../../units/index.js';
import { sentence } from '../model/words.js';

export interface Note extends Problem {
  severity: 'stop' | 'warning';
}

/** Advice beyond this many lines is folded away; what stops a job never is. */
const SHOWN = 2;

/** What is wrong or worth knowing, beside what caused it. The mark and the word say which, not the colour alone. */
export function Notes({ notes }: { notes: Note[] }) {
  if (notes.length === 0) return null;
  const stops = notes.filter((n) => n.severity === 'stop');
  const advice = notes.filter((n) => n.severity === 'warning');
  const folded = advice.length > SHOWN + 1 ? advice.slice(SHOWN) : [];
  const shown = [...stops, ...advice.slice(0, advice.length - folded.length)];
  return (
    <div className="notes">
      <NoteList notes={shown} />
      {folded.length ? (
        <details>
          <summary>{folded.length} more to know</summary>
          <NoteList notes={folded} />
        </details>
      ) : null}
    </div>
  );
}

function NoteList({ notes }: { notes: Note[] }) {
  return (
    <ul className="notes-list">
      {notes.map((note) => (
        <li key={`${note.code} ${note.path} ${note.message}`} className={`note note-${note.severity}`}>
          <strong>{note.severity === 'stop' ? 'Stop. ' : 'Mind. '}</strong>
          {sentence(note.message)}
          {note.hint ? <span className="note-hint"> {sentence(note.hint)}</span> : null}
        </li>
      ))}
    </ul>
  );
}

/** Notes whose path begins with one of the names; `taken` collects those that found a place. */
export function notesFor(notes: Note[], names: string[]): Note[] {
  return notes.filter((n) =>
    names.some((name) => n.path === name || n.path.startsWith(`${name}.`) || n.path.startsWith(`${name}[`)),
  );
}
